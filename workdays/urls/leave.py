"""Addresses of families and of leave that is to be asked for; before those of the ground."""

from django.urls import path

from workdays.views import families

urlpatterns = [
    path("ground/leave/", families.leave_ahead, name="leave_ahead"),
    path("ground/stones/<int:pk>/families/new/", families.family_new, name="family_new"),
    path("ground/families/<int:pk>/", families.family_edit, name="family_edit"),
    path("ground/<slug:slug>/leave/", families.cemetery_leave_ahead, name="cemetery_leave_ahead"),
]
