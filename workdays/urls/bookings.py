"""Addresses of hosts and their bookings."""

from django.urls import URLPattern

urlpatterns: list[URLPattern] = []
