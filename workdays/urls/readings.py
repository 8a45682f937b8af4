"""Addresses of readings."""

from django.urls import path

from workdays.views import readings

urlpatterns = [
    path("ground/stones/<int:pk>/reading/", readings.reading_new, name="reading_new"),
    path("ground/<slug:slug>/readings/", readings.readings, name="readings"),
]
