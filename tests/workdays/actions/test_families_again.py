"""Families in an order nobody foresaw: one who comes back, a child named twice."""

from dataclasses import replace
from datetime import date

import pytest

from coordinator.models import Person
from coordinator.refused import Refused
from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_person,
    make_sign_up,
    make_waiver,
)
from tests.workdays.applications import application
from workdays.actions import places
from workdays.actions.answering import answer
from workdays.actions.sign_ups import sign_up
from workdays.models import SignUp, Workday
from workdays.queries.waivers import people_with_waiver
from workdays.rules.parties import Companion

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
