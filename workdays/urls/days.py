"""Addresses of an organiser's days and the first page."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
