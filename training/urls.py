"""Addresses of what people learn."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
