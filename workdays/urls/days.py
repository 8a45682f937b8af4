"""Addresses of an organiser's days and the first page."""

from django.urls import URLPattern, path

from workdays.views import days

urlpatterns: list[URLPattern] = [
    path("days/all/", days.days, name="days"),
    path("days/new/", days.day_new, name="day_new"),
    path("days/<int:pk>/edit/", days.day_edit, name="day_edit"),
    path("days/<int:pk>/open/", days.day_open, name="day_open"),
]
