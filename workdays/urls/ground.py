"""Addresses of the ground and the backlog."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
