"""Whether a host may ask for a clinic as written, and which answers a request still takes.

The bounds (two years ahead, a hundred people) are our own, against slips; no source.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import day_words

FARTHEST = timedelta(days=731)
MOST_PEOPLE = 100


class State(StrEnum):
    """Where a request stands; the words in which it is stored."""

    ASKED = "asked"
    ACCEPTED = "accepted"
    REFUSED = "refused"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True)
class Asked:
    """A request for a clinic: dates wished, people expected, whether a place is named."""

    wished_on: date
    or_on: date | None
    people: int
    names_place: bool


def _date_refusals(name: str, on: date, today: date) -> Iterator[Refusal]:
    if on <= today:
        yield Refusal(f"{name}_past", f"{day_words(on, today=today)} is not ahead of us.")
    elif on - today > FARTHEST:
        yield Refusal(f"{name}_far", "This date is more than two years ahead; check the year.")


def refusals_to_ask(asked: Asked, *, today: date) -> list[Refusal]:
    """Return everything that keeps a request from being taken; empty when it is taken."""
    found = list(_date_refusals("wished_on", asked.wished_on, today))
    if asked.or_on is not None:
        found += _date_refusals("or_on", asked.or_on, today)
        if asked.or_on == asked.wished_on:
            found.append(Refusal("or_on_same", "The second date is the same as the first."))
    if not 2 <= asked.people <= MOST_PEOPLE:
        found.append(Refusal("people", f"A clinic is for 2 to {MOST_PEOPLE} people."))
    if not asked.names_place:
        found.append(Refusal("no_place", "Choose one of our cemeteries or name a place."))
    return found


def refusals_to_answer(state: State, *, confirmed: bool) -> list[Refusal]:
    """Return why an organiser cannot accept or refuse a request (any more)."""
    if not confirmed:
        return [Refusal("not_confirmed", "The host has not answered the mailed link yet.")]
    if state is not State.ASKED:
        return [Refusal("answered", f"This request is {state.value} already.")]
    return []


def refusals_to_withdraw(state: State, *, day_begun: bool) -> list[Refusal]:
    """Return why a host cannot withdraw a request (any more)."""
    if state in (State.REFUSED, State.WITHDRAWN):
        return [Refusal("answered", f"This request is {state.value} already.")]
    if day_begun:
        return [Refusal("day_begun", "The clinic has begun.")]
    return []
