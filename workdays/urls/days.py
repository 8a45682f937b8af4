"""Addresses of an organiser's days and the first page."""

from django.urls import path

from workdays.views import days, desk, gate, jobs_of_day, messages, week

urlpatterns = [
    path("week/", week.week, name="week"),
    path("days/all/", days.days, name="days"),
    path("days/new/", days.day_new, name="day_new"),
    path("days/<int:pk>/edit/", days.day_edit, name="day_edit"),
    path("days/<int:pk>/open/", days.day_open, name="day_open"),
    path("days/<int:pk>/desk/", desk.day_desk, name="day_desk"),
    path("days/<int:pk>/jobs/", jobs_of_day.day_jobs, name="day_jobs"),
    path("days/<int:pk>/gate/", gate.gate, name="gate"),
    path("days/<int:pk>/place/<int:row>/", gate.place, name="place"),
    path("days/<int:pk>/remind/", desk.day_remind, name="day_remind"),
    path("days/<int:pk>/message/", messages.day_message, name="day_message"),
    path("days/<int:pk>/messages/", messages.day_messages, name="day_messages"),
    path("days/<int:pk>/list/", desk.day_list, name="day_list"),
    path("days/<int:pk>/people.csv", desk.day_people, name="day_people"),
]
