"""Addresses of days and places, one module a subject."""

from workdays.urls import (
    bookings,
    call,
    chains,
    days,
    ground,
    leave,
    mail,
    photographs,
    pieces,
    plan,
    public,
    readings,
    roll,
    spreadsheets,
    staff,
    waivers,
)

urlpatterns = [
    *public.urlpatterns,
    *days.urlpatterns,
    *readings.urlpatterns,
    *photographs.urlpatterns,
    *pieces.urlpatterns,
    *leave.urlpatterns,
    *chains.urlpatterns,
    *spreadsheets.urlpatterns,
    *waivers.urlpatterns,
    *ground.urlpatterns,
    *plan.urlpatterns,
    *call.urlpatterns,
    *roll.urlpatterns,
    *mail.urlpatterns,
    *bookings.urlpatterns,
    *staff.urlpatterns,
]
