"""Addresses of spreadsheets in and out."""

from django.urls import path

from workdays.views import spreadsheets as views

ALL, ONE = "ground/<slug:slug>/sheets", "ground/<slug:slug>/sheets/<int:pk>"
urlpatterns = [
    path(f"{ALL}/", views.sheets, name="sheets"),
    path(f"{ALL}/stones.csv", views.sheet_csv, name="sheet_csv"),
    path(f"{ALL}/stones.xlsx", views.sheet_xlsx, name="sheet_xlsx"),
    path(f"{ONE}/", views.sheet, name="sheet"),
    path(f"{ONE}/columns/", views.sheet_columns, name="sheet_columns"),
    path(f"{ONE}/bring-in/", views.sheet_import, name="sheet_import"),
    path(f"{ONE}/undo/", views.sheet_undo, name="sheet_undo"),
    path(f"{ONE}/throw-away/", views.sheet_discard, name="sheet_discard"),
]
