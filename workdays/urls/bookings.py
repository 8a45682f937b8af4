"""Addresses of hosts and their bookings."""

from django.urls import path

from workdays.views import asking, bookings

urlpatterns = [
    path("clinics/ask/", asking.ask, name="ask_for_clinic"),
    path("clinics/asked/", asking.asked, name="clinic_asked"),
    path("clinics/confirm/<str:token>/", asking.confirm, name="confirm_booking"),
    path("host/<str:secret>/", asking.host_page, name="host_page"),
    path("host/<str:secret>/withdraw/<int:pk>/", asking.host_withdraw, name="host_withdraw"),
    path("bookings/", bookings.bookings, name="bookings"),
    path("bookings/<int:pk>/", bookings.booking, name="booking"),
    path("bookings/<int:pk>/accept/", bookings.booking_accept, name="booking_accept"),
    path("bookings/<int:pk>/refuse/", bookings.booking_refuse, name="booking_refuse"),
]
