from __future__ import annotations

from datetime import date, time
from typing import Any

import pytest

from workdays.rules.leave import FamilyState
from workdays.rules.leave_dates import refusals_to_note_family, refusals_to_permit

TODAY = date(2026, 5, 9)
ASKED = date(2026, 5, 3)
LATER = date(2026, 5, 10)


def permit(**changes: Any) -> list[str]:
    noted: dict[str, Any] = {"kinds": ["cleaning"], "starts_on": TODAY, "ends_on": TODAY}
    return [refusal.code for refusal in refusals_to_permit(**(noted | changes), today=TODAY)]


def test_a_permission_may_hold_for_one_day() -> None:
    assert permit() == []
    assert permit(quiet_from=time(12), quiet_until=time(13)) == []
    assert permit(quiet_from=time(0), quiet_until=time(9)) == []
    assert permit(given_on=TODAY) == []


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"kinds": []}, "no-kinds"),
        ({"ends_on": date(2026, 5, 8)}, "ends-first"),
        ({"given_on": LATER}, "given-ahead"),
        ({"quiet_from": time(12)}, "quiet-until"),
        ({"quiet_until": time(0)}, "quiet-from"),
        ({"quiet_from": time(12), "quiet_until": time(12)}, "quiet-order"),
        ({"quiet_from": time(22), "quiet_until": time(6)}, "quiet-order"),
    ],
)
def test_a_permission_that_cannot_be_is_refused(changes: dict[str, Any], code: str) -> None:
    assert permit(**changes) == [code]


def family(state: FamilyState, **changes: Any) -> list[str]:
    noted: dict[str, Any] = {"kinds": ["cleaning"], "asked_on": None, "answered_on": None}
    found = refusals_to_note_family(**(noted | changes), state=state, today=TODAY)
    return [refusal.code for refusal in found]


def test_days_in_order_are_taken_in_every_state() -> None:
    assert family(FamilyState.WANTED) == []
    assert family(FamilyState.ASKED, asked_on=TODAY) == []
    assert family(FamilyState.NO_ANSWER, asked_on=ASKED) == []
    assert family(FamilyState.GIVEN, asked_on=ASKED, answered_on=ASKED) == []
    assert family(FamilyState.REFUSED, answered_on=TODAY) == []


@pytest.mark.parametrize(
    ("state", "changes", "code"),
    [
        (FamilyState.WANTED, {"kinds": []}, "no-kinds"),
        (FamilyState.WANTED, {"asked_on": ASKED}, "asked"),
        (FamilyState.ASKED, {}, "not-asked"),
        (FamilyState.ASKED, {"asked_on": LATER}, "asked-ahead"),
        (FamilyState.ASKED, {"asked_on": ASKED, "answered_on": TODAY}, "answered"),
        (FamilyState.NO_ANSWER, {}, "not-asked"),
        (FamilyState.GIVEN, {"asked_on": ASKED}, "not-answered"),
        (FamilyState.REFUSED, {}, "not-answered"),
        (FamilyState.REFUSED, {"answered_on": LATER}, "answered-ahead"),
        (FamilyState.GIVEN, {"asked_on": TODAY, "answered_on": ASKED}, "answered-first"),
    ],
)
def test_what_cannot_be_true_of_a_family_is_refused(
    state: FamilyState, changes: dict[str, Any], code: str
) -> None:
    assert family(state, **changes) == [code]
