"""Roots of all addresses; no logic."""

from django.urls import include, path

urlpatterns = [
    path("", include("workdays.urls")),
    path("training/", include("training.urls")),
]
