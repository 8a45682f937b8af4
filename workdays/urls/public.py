"""Addresses of the public pages and personal links."""

from django.urls import path

from workdays.views import (
    again,
    answering,
    join,
    my_data,
    own,
    public,
    seats,
    sign_up,
    signatures,
)

urlpatterns = [
    path("", public.days_public, name="days_public"),
    path("what-is-asked/", public.asked, name="asked"),
    path("days.ics", public.feed, name="feed"),
    path("days/<int:pk>/", public.day, name="day"),
    path("days/<int:pk>/calendar.ics", public.day_calendar, name="day_calendar"),
    path("days/<int:pk>/sign-up/", sign_up.sign_up, name="sign_up"),
    path("days/<int:pk>/sign-up/sent/", sign_up.sign_up_sent, name="sign_up_sent"),
    path("again/", again.again, name="again"),
    path("again/sent/", again.again_sent, name="again_sent"),
    path("days/<int:pk>/again/", again.again_for_day, name="again_for_day"),
    path("confirm/<str:token>/", sign_up.confirm_sign_up, name="confirm_sign_up"),
    path("answer/<str:token>/", answering.answer, name="answer"),
    path("offer/<str:token>/", sign_up.take_offer, name="take_offer"),
    path("you/<str:secret>/", own.own_page, name="own_page"),
    path("you/<str:secret>/data/", my_data.own_data, name="own_data"),
    path("you/<str:secret>/data.json", my_data.own_data_file, name="own_data_file"),
    path("you/<str:secret>/renew/", own.own_renew, name="own_renew"),
    path("you/<str:secret>/join/<int:pk>/", join.own_join, name="own_join"),
    path("you/<str:secret>/days/<int:pk>/", own.own_day, name="own_day"),
    path("you/<str:secret>/days/<int:pk>/change/", own.own_change, name="own_change"),
    path("you/<str:secret>/days/<int:pk>/withdraw/", own.own_withdraw, name="own_withdraw"),
    path("you/<str:secret>/days/<int:pk>/seats/", seats.own_seats, name="own_seats"),
    path("you/<str:secret>/seats/<int:pk>/", seats.own_seat, name="own_seat"),
    path("you/<str:secret>/days/<int:pk>/come/", own.own_come, name="own_come"),
    path("you/<str:secret>/seen/<int:pk>/", own.notice_seen, name="notice_seen"),
    path("you/<str:secret>/waivers/<int:pk>/", own.own_waiver, name="own_waiver"),
    path(
        "you/<str:secret>/waivers/<int:pk>/take-back/",
        signatures.own_waiver_withdraw,
        name="own_waiver_withdraw",
    ),
    path("you/<str:secret>/waivers/<int:pk>.pdf", signatures.own_waiver_pdf, name="own_waiver_pdf"),
]
