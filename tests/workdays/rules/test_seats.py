"""Who may ask whom for a seat, and what cannot be agreed or said."""

from dataclasses import replace

import pytest

from workdays.rules import seats
from workdays.rules.seats import State, Traveller

DRIVER = Traveller(comes=True, adult=True, offered=3)
RIDER = Traveller(comes=True, adult=True, wanted=2)


def ask(
    driver: Traveller = DRIVER, rider: Traveller = RIDER, *earlier: State, ahead: bool = True
) -> list[str]:
    found = seats.refusals_to_ask(driver, rider, earlier, day_is_ahead=ahead)
    return [refusal.code for refusal in found]


def test_a_question_may_be_put_for_as_many_seats_as_both_can() -> None:
    assert ask() == []
    assert seats.seats_between(DRIVER, RIDER) == 2
    assert seats.seats_between(replace(DRIVER, given=2), RIDER) == 1
    assert ask(DRIVER, RIDER, State.TAKEN_BACK) == []


@pytest.mark.parametrize(
    ("driver", "rider", "earlier", "code"),
    [
        (replace(DRIVER, given=3), RIDER, [], "no-seat"),
        (replace(DRIVER, comes=False), RIDER, [], "no-seat"),
        (DRIVER, replace(RIDER, got=2), [], "no-seat"),
        (DRIVER, replace(RIDER, comes=False), [], "no-seat"),
        (DRIVER, replace(RIDER, adult=False), [], "minor-seats"),
        (replace(DRIVER, adult=False), RIDER, [], "minor-seats"),
        (DRIVER, RIDER, [State.ASKED], "asked"),
        (DRIVER, RIDER, [State.AGREED], "asked"),
        (DRIVER, RIDER, [State.REFUSED], "answered"),
        (DRIVER, RIDER, [State.TAKEN_BACK, State.TAKEN_BACK], "answered"),
    ],
)
def test_a_question_is_refused(
    driver: Traveller, rider: Traveller, earlier: list[State], code: str
) -> None:
    assert ask(driver, rider, *earlier) == [code]


def test_it_is_too_late_once_the_day_has_begun_or_is_off() -> None:
    assert ask(ahead=False) == ["over"]


@pytest.mark.parametrize("state", list(State))
def test_only_an_open_question_is_agreed_to(state: State) -> None:
    found = seats.refusals_to_agree(DRIVER, RIDER, 2, state, day_is_ahead=True)
    assert bool(found) == (state is not State.ASKED)


def test_no_seat_is_given_twice() -> None:
    (refusal,) = seats.refusals_to_agree(
        replace(DRIVER, given=2), RIDER, 2, State.ASKED, day_is_ahead=True
    )
    assert refusal.code == "no-seat"


@pytest.mark.parametrize(
    ("said", "codes"),
    [
        (DRIVER, []),
        (RIDER, []),
        (replace(DRIVER, wanted=1), ["both-seats"]),
        (replace(DRIVER, adult=False), ["minor-seats"]),
        (Traveller(comes=True, adult=False), []),
        (replace(DRIVER, offered=1, given=2), ["seats-given"]),
        (replace(DRIVER, offered=2, given=2), []),
        (replace(RIDER, wanted=0, got=1), ["seats-got"]),
    ],
)
def test_what_is_said_fits_what_is_agreed(said: Traveller, codes: list[str]) -> None:
    assert [refusal.code for refusal in seats.refusals_to_say(said)] == codes
