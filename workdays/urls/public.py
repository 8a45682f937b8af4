"""Addresses of the public pages and personal links."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
