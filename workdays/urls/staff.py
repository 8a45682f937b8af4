"""Addresses of the staff: organisers and supervisors, and the link that lets them in."""

from django.urls import path

from workdays.views import staff

urlpatterns = [
    path("staff/", staff.staff, name="staff"),
    path("staff/invite/", staff.staff_invite, name="staff_invite"),
    path("staff/<int:pk>/end/", staff.staff_end, name="staff_end"),
    path(
        "staff/invitations/<int:pk>/take-back/",
        staff.invitation_take_back,
        name="invitation_take_back",
    ),
    path("invitation/<str:token>/", staff.accept_invitation, name="accept_invitation"),
]
