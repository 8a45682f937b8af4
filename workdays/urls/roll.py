"""Addresses of the roll and the closing of a day."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
