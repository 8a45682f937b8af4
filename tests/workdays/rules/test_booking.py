"""What a host may ask for, and which answers a request still takes."""

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from workdays.rules import booking
from workdays.rules.booking import Asked, State

TODAY = date(2026, 5, 6)
GOOD = Asked(date(2026, 6, 13), date(2026, 6, 20), 20, names_place=True)


def codes(asked: Asked) -> set[str]:
    return {refusal.code for refusal in booking.refusals_to_ask(asked, today=TODAY)}


def test_a_plain_request_is_taken() -> None:
    assert codes(GOOD) == set()
    assert codes(replace(GOOD, or_on=None, wished_on=date(2026, 5, 7))) == set()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"wished_on": TODAY}, "wished_on_past"),
        ({"wished_on": date(1, 1, 1)}, "wished_on_past"),
        ({"wished_on": date(9999, 12, 31)}, "wished_on_far"),
        ({"or_on": date(2026, 5, 5)}, "or_on_past"),
        ({"or_on": date(2029, 5, 5)}, "or_on_far"),
        ({"or_on": GOOD.wished_on}, "or_on_same"),
        ({"people": 1}, "people"),
        ({"people": 101}, "people"),
        ({"names_place": False}, "no_place"),
    ],
)
def test_what_is_out_of_bounds_is_refused(change: dict[str, Any], code: str) -> None:
    assert codes(replace(GOOD, **change)) == {code}


def test_only_a_confirmed_request_that_waits_is_answered() -> None:
    assert booking.refusals_to_answer(State.ASKED, confirmed=True) == []
    assert booking.refusals_to_answer(State.ASKED, confirmed=False)[0].code == "not_confirmed"
    for state in (State.ACCEPTED, State.REFUSED, State.WITHDRAWN):
        assert booking.refusals_to_answer(state, confirmed=True)[0].code == "answered"


def test_a_host_withdraws_until_the_clinic_begins() -> None:
    for state in (State.ASKED, State.ACCEPTED):
        assert booking.refusals_to_withdraw(state, day_begun=False) == []
        assert booking.refusals_to_withdraw(state, day_begun=True)[0].code == "day_begun"
    for state in (State.REFUSED, State.WITHDRAWN):
        assert booking.refusals_to_withdraw(state, day_begun=False)[0].code == "answered"
