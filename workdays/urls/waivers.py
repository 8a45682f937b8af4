"""Addresses of the texts that people sign, for organisers."""

from django.urls import path

from workdays.views import waivers

urlpatterns = [
    path("waivers/", waivers.waivers, name="waivers"),
    path("waivers/new/", waivers.waiver_new, name="waiver_new"),
    path("waivers/<int:pk>/", waivers.waiver, name="waiver"),
    path("ground/<slug:slug>/waiver/", waivers.waiver_of_place_new, name="waiver_of_place_new"),
]
