"""Addresses of the crew plan and its sheets."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
