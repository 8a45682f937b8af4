"""Addresses of the roll, the closing of a day, and what people learn."""

from django.urls import URLPattern, path

from workdays.views import joining, kept, people, roll

urlpatterns: list[URLPattern] = [
    path("days/<int:pk>/roll/", roll.roll, name="roll"),
    path("days/<int:pk>/roll/arrive/", roll.roll_arrive, name="roll_arrive"),
    path("days/<int:pk>/roll/leave/", roll.roll_leave, name="roll_leave"),
    path("days/<int:pk>/close/", roll.day_close, name="day_close"),
    path("training/", people.training, name="training"),
    path("training/<int:pk>/word/", people.countersign, name="countersign"),
    path("people/", people.people, name="people"),
    path("people/erased/", kept.kept_list, name="kept_list"),
    path("people/erased/<int:pk>/", kept.kept_one, name="kept_one"),
    path("people/<int:pk>/", people.person, name="person"),
    path("people/<int:pk>/same/", joining.same_person, name="same_person"),
    path("people/<int:pk>/same/<int:other>/", joining.same_person_as, name="same_person_as"),
    path("people/<int:pk>/part/", joining.person_part, name="person_part"),
    path("people/<int:pk>/sign-off/", people.sign_off_new, name="sign_off_new"),
    path("sign-offs/<int:pk>/end/", people.sign_off_revoke, name="sign_off_revoke"),
]
