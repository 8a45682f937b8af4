"""Addresses of days and places, one module a subject."""

from workdays.urls import bookings, call, days, ground, mail, plan, public, roll

urlpatterns = [
    *public.urlpatterns,
    *days.urlpatterns,
    *ground.urlpatterns,
    *plan.urlpatterns,
    *call.urlpatterns,
    *roll.urlpatterns,
    *mail.urlpatterns,
    *bookings.urlpatterns,
]
