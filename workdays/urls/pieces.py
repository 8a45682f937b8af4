"""Addresses of loose pieces; they stand before the addresses of cemeteries."""

from django.urls import path

from workdays.views import pieces as views

urlpatterns = [
    path("ground/pieces/<int:pk>/", views.piece, name="piece"),
    path("ground/pieces/<int:pk>/edit/", views.piece_edit, name="piece_edit"),
    path("ground/pieces/<int:pk>/judge/", views.piece_judge, name="piece_judge"),
    path("ground/pieces/words/<int:pk>/", views.piece_take_back, name="piece_take_back"),
    path("ground/<slug:slug>/pieces/", views.pieces, name="pieces"),
    path("ground/<slug:slug>/pieces/new/", views.piece_new, name="piece_new"),
]
