"""Families in an order nobody foresaw: one who comes back, a child named twice."""

from dataclasses import replace
from datetime import date, time, timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator import links
from coordinator.models import Person
from coordinator.refused import Refused
from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_group,
    make_person,
    make_sign_up,
    make_staff,
    make_waiver,
)
from tests.workdays.applications import application
from workdays.actions import places
from workdays.actions.answering import answer
from workdays.actions.days import DayWishes, change_day
from workdays.actions.sign_ups import sign_up
from workdays.models import SignUp, Workday
from workdays.queries.waivers import people_with_waiver
from workdays.rules.day_frame import DayFrame
from workdays.rules.eligibility import HELD_FOR
from workdays.rules.parties import Companion
from workdays.waiting_list import OFFER, offer_state

pytestmark = pytest.mark.django_db
State = SignUp.State
BROTHER = Companion(1, "Rui Costa", email="rui@hollin.example")
CHILD = Companion(2, "Bo Costa", "", date(2014, 6, 30), "mother", True, True)


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(capacity=3)


def comes(day: Workday, *named: Companion) -> SignUp:
    return places.confirm(sign_up(day.pk, application(companions=named), now=NOW).pk, now=NOW)


@pytest.mark.parametrize("answered", [True, False])
def test_who_leaves_and_comes_back_to_the_list_takes_nobody_off_their_place(
    day: Workday, answered: bool
) -> None:
    first = comes(day, BROTHER)
    brother = SignUp.objects.get(person__name="Rui Costa")
    if answered:
        own = application(name="Rui Costa", email="", typed_name="Rui Costa")
        answer(brother.pk, own, now=NOW)
    brother.refresh_from_db()
    before = brother.state, brother.held_until
    places.withdraw(first.pk, now=NOW)
    for _ in range(2):
        make_sign_up(day)
    known = Person.objects.get(pk=first.person_id)
    assert sign_up(day.pk, application(), now=NOW, person=known).state == State.WAITING
    brother.refresh_from_db()
    assert (brother.state, brother.held_until) == before


def test_a_child_named_in_two_lines_is_refused_beside_the_second(day: Workday) -> None:
    again = replace(CHILD, line=3, name="bo  costa")
    with pytest.raises(Refused) as caught:
        sign_up(day.pk, application(companions=(CHILD, again)), now=NOW)
    assert [refusal.code for refusal in caught.value.refusals] == ["with3_name"]


def test_a_child_whom_another_has_brought_to_the_day_is_not_brought_twice(day: Workday) -> None:
    mother = Person.objects.get(pk=comes(day, CHILD).person_id)
    child = Person.objects.get(name="Bo Costa")
    other_day, father = make_day(day.cemetery), make_person()
    for person, guardian in ((father, None), (child, father)):
        make_sign_up(other_day, person, guardian=guardian)
    with pytest.raises(Refused, match="on the list of this day already") as caught:
        sign_up(other_day.pk, application(companions=(CHILD,)), now=NOW, person=mother)
    assert [refusal.code for refusal in caught.value.refusals] == ["with2_name"]
    sign_up(other_day.pk, application(), now=NOW, person=mother)


@pytest.mark.parametrize(
    ("state", "born_on", "was_adult", "may"),
    [
        ("NE", date(2007, 5, 10), True, False),  # 18 on the day, of age elsewhere
        ("NE", date(2007, 5, 9), False, True),
        ("MI", date(2008, 5, 9), False, True),
        ("MS", date(2005, 5, 10), True, False),
    ],
)
def test_a_known_birth_date_says_who_signs_alone_on_the_day_there(
    state: str, born_on: date, was_adult: bool, may: bool
) -> None:
    make_waiver()
    day = make_day(make_cemetery(us_state=state))
    person = make_person(name="Ana Costa", born_on=born_on, is_adult=was_adult)
    if not may:
        with pytest.raises(Refused, match="for adults"):
            sign_up(day.pk, application(), now=NOW, person=person)
        return
    assert sign_up(day.pk, application(), now=NOW, person=person).state == State.COMING
    person.refresh_from_db()
    assert person.is_adult
    assert people_with_waiver(day, [person.pk]) == {person.pk}


def test_a_changed_day_takes_along_what_is_held_until_its_cut_off_and_no_offer(
    day: Workday,
) -> None:
    Workday.objects.filter(pk=day.pk).update(capacity=20)
    comes(day, BROTHER)
    brother = SignUp.objects.get(person__name="Rui Costa")
    ready, unanswered = (
        make_group(day, held_until=day.cut_off_at, leader=make_person(confirmed_at=confirmed))
        for confirmed in (NOW, None)
    )
    until = day.cut_off_at
    offered = make_sign_up(day, state=State.OFFERED, held_until=until)
    unproven = make_person(confirmed_at=None)
    stranger = make_sign_up(day, unproven, state=State.UNCONFIRMED, held_until=until)
    link = reverse("take_offer", args=[links.make(OFFER, offered.pk, offer_state(offered))])
    frame = DayFrame(date(2026, 5, 16), time(9), time(15), day.cemetery.zone, capacity=20)
    asked = DayWishes(day.cemetery, replace(frame, break_from=time(12), break_to=time(12, 30)), "x")
    new = change_day(day.pk, asked, by=make_staff(), now=NOW)
    assert new.cut_off_at == day.cut_off_at + timedelta(days=7)
    for row, then in (
        *((brother, new.cut_off_at), (ready, new.cut_off_at)),
        *((stranger, NOW + HELD_FOR), (offered, day.cut_off_at), (unanswered, day.cut_off_at)),
    ):
        row.refresh_from_db()
        assert row.held_until == then
    with time_machine.travel(NOW, tick=False):
        assert Client().get(link).status_code == 200
