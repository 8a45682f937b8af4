"""When a group may hold places, when they may be taken, and how many can be given back."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from workdays.rules.eligibility import DayState, OpenDay
from workdays.rules.groups import (
    refusals_to_give_back,
    refusals_to_hold,
    refusals_to_take,
    refusals_to_teach,
)

NOW = datetime(2026, 5, 6, 14, 0, tzinfo=UTC)
DAY = OpenDay(DayState("open"), NOW + timedelta(days=3), NOW + timedelta(days=1), 20)


@pytest.mark.parametrize(
    ("wanted", "free", "said"),
    [
        (1, 9, "at least 2"),
        (2, 0, "No place is free"),
        (10, 9, "Nine places are free"),
        (2, 1, "One place is free"),
    ],
)
def test_a_group_holds_two_places_to_what_is_free(wanted: int, free: int, said: str) -> None:
    [refusal] = refusals_to_hold(DAY, wanted, free=free, now=NOW)
    assert refusal.code == "places"
    assert said in refusal.sentence


def test_a_group_may_hold_all_that_is_free() -> None:
    assert refusals_to_hold(DAY, 9, free=9, now=NOW) == []
    assert refusals_to_hold(DAY, 2, free=2, now=NOW) == []


def test_no_places_are_held_on_a_day_that_is_shut_or_past_its_cut_off() -> None:
    assert refusals_to_hold(DAY, 2, free=9, now=DAY.cut_off_at)
    called_off = replace(DAY, state=DayState("called_off"))
    assert refusals_to_hold(called_off, 2, free=9, now=NOW)


def test_places_are_taken_while_they_are_held_and_last() -> None:
    until = NOW + timedelta(hours=1)
    assert refusals_to_take(2, 2, until=until, now=NOW) == []
    assert "One place is left" in refusals_to_take(1, 2, until=until, now=NOW)[0].sentence
    assert "No place is left" in refusals_to_take(0, 1, until=until, now=NOW)[0].sentence
    for over in (NOW, None):
        assert "not held any more" in refusals_to_take(2, 1, until=over, now=NOW)[0].sentence


def test_a_clinic_takes_as_many_new_people_of_a_group_as_it_can_teach() -> None:
    assert refusals_to_teach(2, 2) == []
    assert refusals_to_teach(0, 0) == []
    assert refusals_to_teach(1, 2)[0].code == "group"


@pytest.mark.parametrize(("held", "given"), [(3, 4), (3, 0), (0, 1)])
def test_no_more_is_given_back_than_is_held(held: int, given: int) -> None:
    assert refusals_to_give_back(held, given)[0].code == "give"
    assert refusals_to_give_back(3, 3) == []
