"""Addresses of the weather call."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
