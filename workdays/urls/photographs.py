"""Addresses of pictures; they stand before the addresses of cemeteries."""

from django.urls import path

from workdays.views import photographs as views

STONE, PICTURE = "ground/stones/<int:pk>/photographs", "ground/photographs/<int:pk>"
urlpatterns = [
    path(f"{STONE}/", views.stone_photographs, name="stone_photographs"),
    path(f"{STONE}/pair/", views.photograph_pair, name="photograph_pair"),
    path(f"{PICTURE}/", views.photograph, name="photograph"),
    path(f"{PICTURE}/remove/", views.photograph_remove, name="photograph_remove"),
    path(f"{PICTURE}/unpair/", views.photograph_unpair, name="photograph_unpair"),
    path(f"{PICTURE}/<slug:size>/", views.photograph, name="photograph"),
]
