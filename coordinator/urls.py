"""Roots of all addresses; no logic."""

from django.contrib import admin
from django.urls import include, path

from coordinator.health import health

urlpatterns = [
    path("health/", health, name="health"),
    path("account/", include("allauth.urls")),
    path("repair/", admin.site.urls),
    path("", include("workdays.urls")),
    path("training/", include("training.urls")),
]
