from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, time
from typing import Any

import pytest

from workdays.rules.kinds import KindFacts
from workdays.rules.leave import (
    FamilyFacts,
    FamilyState,
    PermissionFacts,
    in_quiet_hours,
    runs_into,
    without_family,
    without_permission,
)
from workdays.rules.readiness import GroundRules, JobToDo, why_not_yet

CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RAKING = KindFacts("raking", "Raking")
DAY = date(2026, 5, 9)
LEAVE = PermissionFacts(frozenset({"cleaning"}), date(2026, 4, 1), date(2026, 10, 31))
NOON = (time(12), time(13, 30))


def at(hour: int, minute: int = 0, on: date = DAY) -> datetime:
    return datetime.combine(on, time(hour, minute))


def missing(*permissions: PermissionFacts, on: date) -> list[str]:
    return [refusal.sentence for refusal in without_permission(CLEANING, permissions, on)]


def test_no_leave_for_the_kind_at_all_says_so() -> None:
    said = ["The owner has given no leave for gentle cleaning here."]
    assert missing(on=DAY) == said
    assert missing(replace(LEAVE, kinds=frozenset({"raking"})), on=DAY) == said


def test_leave_covers_its_first_and_its_last_day() -> None:
    assert missing(LEAVE, on=LEAVE.starts_on) == missing(LEAVE, on=LEAVE.ends_on) == []


def test_leave_that_runs_out_or_begins_later_says_when() -> None:
    assert missing(LEAVE, on=date(2026, 11, 1)) == [
        "The owner's leave for gentle cleaning ends on 31 October 2026; "
        "it does not cover Sunday 1 November 2026."
    ]
    assert missing(LEAVE, on=date(2026, 3, 31)) == [
        "The owner's leave for gentle cleaning begins on 1 April 2026; "
        "it does not cover Tuesday 31 March 2026."
    ]


def test_a_gap_between_two_leaves_names_both_its_ends() -> None:
    first = replace(LEAVE, ends_on=date(2026, 5, 1))
    earlier = replace(LEAVE, starts_on=date(2025, 4, 1), ends_on=date(2025, 10, 31))
    next_one = replace(LEAVE, starts_on=date(2026, 6, 1))
    last = replace(LEAVE, starts_on=date(2026, 8, 1))
    assert missing(last, earlier, first, next_one, on=DAY) == [
        "The owner's leave for gentle cleaning ends on 1 May 2026 and begins again on "
        "1 June 2026; it does not cover Saturday 9 May 2026."
    ]


@pytest.mark.parametrize(
    ("starts_at", "ends_at", "expected"),
    [
        (at(9), at(12), False),
        (at(9), at(12, 15), True),
        (at(13, 30), at(15), False),
        (at(13, 15), at(15), True),
        (at(9), at(15), True),
        (at(12, 30), at(13), True),
        (at(20), at(11, on=date(2026, 5, 10)), False),
        (at(20), at(12, 15, on=date(2026, 5, 10)), True),
    ],
)
def test_hours_run_into_quiet_hours_when_they_overlap(
    starts_at: datetime, ends_at: datetime, *, expected: bool
) -> None:
    assert runs_into(NOON, starts_at, ends_at) is expected


def quiet(*permissions: PermissionFacts, kind: KindFacts = CLEANING, on: date = DAY) -> list[str]:
    found = in_quiet_hours(kind, permissions, starts_at=at(9, on=on), ends_at=at(15, on=on))
    return [refusal.sentence for refusal in found]


def test_the_stricter_of_two_leaves_counts_for_quiet_hours() -> None:
    strict = replace(LEAVE, quiet=NOON)
    assert quiet(LEAVE) == []
    assert quiet(LEAVE, strict, strict) == [
        "The owner's quiet hours for gentle cleaning are 12:00 to 13:30; the day runs from "
        "9:00 to 15:00. Choose other hours or ask the owner."
    ]
    assert quiet(replace(LEAVE, quiet=(time(0), time(9)))) == []


def test_quiet_hours_of_another_kind_or_another_date_do_not_count() -> None:
    strict = replace(LEAVE, quiet=NOON)
    assert quiet(strict, kind=RAKING) == []
    assert quiet(strict, on=date(2026, 11, 1)) == []


def family(state: FamilyState, **changes: Any) -> list[str]:
    asked = FamilyFacts(frozenset({"cleaning"}), state, date(2026, 5, 3), date(2026, 5, 5))
    found = without_family(CLEANING, [replace(asked, **changes)], date(2026, 6, 1))
    return [refusal.sentence for refusal in found]


@pytest.mark.parametrize(
    ("state", "sentence"),
    [
        (
            FamilyState.WANTED,
            "The family has not been asked yet; gentle cleaning waits for its leave.",
        ),
        (
            FamilyState.ASKED,
            "The family was asked on 3 May and has not answered; "
            "gentle cleaning waits for its leave.",
        ),
        (
            FamilyState.NO_ANSWER,
            "The family was asked on 3 May and gave no answer; "
            "gentle cleaning waits for its leave.",
        ),
        (FamilyState.REFUSED, "The family refused on 5 May: no gentle cleaning at this stone."),
    ],
)
def test_a_family_that_has_not_given_leave_is_waited_for(state: FamilyState, sentence: str) -> None:
    assert family(state) == [sentence]


def test_leave_that_a_family_gave_holds_nothing_up() -> None:
    assert family(FamilyState.GIVEN) == []


def test_a_family_is_waited_for_by_the_kinds_that_its_leave_is_wanted_for() -> None:
    assert family(FamilyState.REFUSED, kinds=frozenset({"resetting"})) == []


def test_the_day_a_family_was_asked_has_its_year_when_it_is_another_one() -> None:
    assert "asked on 3 May 2025 and" in family(FamilyState.ASKED, asked_on=date(2025, 5, 3))[0]
    assert "family was asked and" in family(FamilyState.ASKED, asked_on=None)[0]
    assert "family refused: no" in family(FamilyState.REFUSED, answered_on=None)[0]


def test_a_job_waits_for_quiet_hours_and_for_a_family_beside_all_else() -> None:
    asked = FamilyFacts(frozenset({"cleaning"}), FamilyState.ASKED, DAY)
    job = JobToDo(CLEANING, families=(asked,))
    ground = GroundRules(volunteer_resets=True, clean_again_months=18)
    leave = [replace(LEAVE, quiet=NOON)]

    def codes(ends_at: datetime | None) -> list[str]:
        found = why_not_yet(
            job, on=DAY, permissions=iter(leave), ground=ground, starts_at=at(9), ends_at=ends_at
        )
        return [refusal.code for refusal in found]

    assert codes(at(15)) == ["quiet-hours", "family"]
    assert codes(at(12)) == codes(None) == ["family"]
