"""Who is where on the morning of a day, and from when they can be planned."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.morning import (
    Comer,
    Frame,
    Where,
    alone_sentence,
    choices,
    morning,
    next_quarter,
    part_words,
    presence,
    refusals_of_people,
    refusals_of_wish,
    refusals_to_look,
    usual_most_moved,
    where,
)

START = datetime(2026, 5, 9, 13, 0, tzinfo=UTC)
FRAME = Frame(START, START + timedelta(hours=6))
DETROIT = ZoneInfo("America/Detroit")


def at(minutes: float) -> datetime:
    return START + timedelta(minutes=minutes)


def comer(number: int = 1, **said: Any) -> Comer:
    usual = Comer(number, f"Person {number}", START, FRAME.ends_at, planned=True)
    return replace(usual, **said)


@pytest.mark.parametrize(
    ("said", "place", "there"),
    [
        ({"arrived_at": at(-10)}, Where.HERE, (0, 24)),
        ({"arrived_at": at(5)}, Where.HERE, (0, 24)),
        ({"arrived_at": at(40)}, Where.HERE, (2, 24)),
        ({"arrived_at": at(-5), "leaves_at": at(120)}, Where.HERE, (0, 8)),
        ({"arrived_at": at(-5), "left_at": at(10)}, Where.LEFT, (0, 0)),
        ({}, Where.MISSING, (0, 0)),
        ({"comes_at": at(50)}, Where.LATER, (4, 24)),
        ({"comes_at": at(15)}, Where.MISSING, (0, 24)),
        ({"not_coming_at": at(2)}, Where.NOT_COMING, (0, 0)),
        ({"comes_at": at(50), "not_coming_at": at(2)}, Where.NOT_COMING, (0, 0)),
        ({"expected_at": at(30)}, Where.LATER, (2, 24)),
        ({"expected_at": at(15)}, Where.MISSING, (0, 24)),
        ({"expected_at": at(5)}, Where.MISSING, (0, 0)),
        # What was said of another date, before the day moved, does not count.
        ({"not_coming_at": at(-24 * 60)}, Where.MISSING, (0, 0)),
        ({"expected_at": at(-24 * 60)}, Where.MISSING, (0, 0)),
        ({"expected_at": at(24 * 60)}, Where.MISSING, (0, 0)),
        # The roll goes before what was said.
        ({"not_coming_at": at(2), "arrived_at": at(10)}, Where.HERE, (0, 24)),
    ],
)
def test_the_roll_and_what_was_said_decide_who_can_be_planned(
    said: dict[str, Any], place: Where, there: tuple[int, int]
) -> None:
    assert where(comer(**said), FRAME, at(15)) is place
    assert presence(comer(**said), FRAME, at(15)) == there


def test_before_the_day_starts_nobody_is_missing() -> None:
    assert where(comer(), FRAME, at(-20)) is Where.LATER
    assert presence(comer(), FRAME, START) == (0, 24)


def test_who_supervises_or_leads_is_said_first_and_minors_without_guardian_by_name() -> None:
    people = [
        comer(1),
        comer(2, leads="Crew 3"),
        comer(3, supervises=True, leads="Crew 1"),
        comer(4, arrived_at=at(0), adult=False, guardian=1),
        comer(5, arrived_at=at(0), planned=False),
        comer(6, not_coming_at=at(1), supervises=True),
    ]
    found = morning(people, FRAME, at(5))
    assert [one.person for one in found.missing] == [3, 2, 1]
    assert [one.person for one in found.not_here] == [3, 6, 2, 1]
    assert [one.person for one in found.unplanned] == [5]
    assert [(minor.person, guardian) for minor, guardian in found.alone] == [(4, "Person 1")]
    assert (found.here, found.adults_here) == (2, 1)
    assert part_words(people[2]) == "supervises and leads Crew 1"
    sentence = alone_sentence(*found.alone[0])
    assert "Person 4 is a minor and Person 1, the guardian, is not here" in sentence
    assert "and the guardian is not here" in alone_sentence(people[3], "")


@pytest.mark.parametrize(
    ("people", "code"),
    [
        ([comer()], "nobody"),
        ([comer(not_coming_at=at(1)), comer(2)], "nobody"),
        ([comer(arrived_at=at(0), adult=False)], "adults"),
        ([comer(arrived_at=at(0)), comer(2, arrived_at=at(0), adult=False)], "adults"),
        ([comer(arrived_at=at(0)), comer(2, expected_at=at(60))], None),
    ],
)
def test_nobody_or_minors_only_cannot_be_planned(people: list[Comer], code: str | None) -> None:
    found = refusals_of_people(morning(people, FRAME, at(15)))
    assert [one.code for one in found] == ([code] if code else [])


@pytest.mark.parametrize(
    ("state", "now", "published", "code"),
    [
        ("open", at(5), True, None),
        ("open", at(-179), True, None),
        ("open", at(-181), True, "early"),
        ("open", at(345), True, "over"),
        ("open", at(24 * 60), True, "over"),
        ("open", at(5), False, "published"),
        ("closed", at(5), True, "closed"),
        ("called_off", at(5), True, "called_off"),
        ("draft", at(5), True, "draft"),
    ],
)
def test_only_an_open_day_with_a_published_plan_is_planned_again_on_its_morning(
    state: str, now: datetime, published: bool, code: str | None
) -> None:
    found = refusals_to_look(state, FRAME, now, published=published)
    assert [one.code for one in found] == ([code] if code else [])


def test_the_rest_of_a_day_begins_on_a_quarter_hour_ahead() -> None:
    assert next_quarter(at(5), FRAME) == at(15)
    assert next_quarter(at(15), FRAME) == at(30)
    assert next_quarter(at(-100), FRAME) == START
    assert choices(at(5), FRAME)[0] == at(15)
    assert choices(at(5), FRAME)[-1] == at(345)
    for since, code in [
        (at(15), None),
        (at(0), "since"),
        (at(20), "since"),
        (at(360), "since"),
        (at(-60), "since"),
    ]:
        found = refusals_of_wish(since, FRAME, at(5), DETROIT)
        assert [one.code for one in found] == ([code] if code else []), since
    [passed] = refusals_of_wish(at(0), FRAME, at(5), DETROIT)
    assert "9:15" in passed.sentence


def test_quarter_hours_are_those_of_the_day_over_a_change_of_the_clocks() -> None:
    night = Frame(datetime(2026, 11, 1, 4, 0, tzinfo=UTC), datetime(2026, 11, 1, 9, 0, tzinfo=UTC))
    shown = [f"{one.astimezone(DETROIT):%H:%M %Z}" for one in choices(night.starts_at, night)]
    assert {"01:15 EDT", "01:15 EST"} <= set(shown)
    assert len(shown) == len(set(shown)) == 19


@given(st.integers(0, 600))
def test_few_people_are_moved_where_nobody_said_how_many(people: int) -> None:
    assert usual_most_moved(60) == 10
    assert 3 <= usual_most_moved(people) <= max(3, people / 6 + 1)
