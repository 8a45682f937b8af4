"""Whether what somebody notes of an owner's or a family's leave can be so: days in order."""

from collections.abc import Collection, Iterator
from datetime import date, time

from workdays.rules.leave import FamilyState
from workdays.rules.refusals import Refusal

WAITING = frozenset({FamilyState.ASKED, FamilyState.NO_ANSWER})
ANSWERED = frozenset({FamilyState.GIVEN, FamilyState.REFUSED})


def refusals_to_permit(
    *,
    kinds: Collection[object],
    starts_on: date,
    ends_on: date,
    today: date,
    given_on: date | None = None,
    quiet_from: time | None = None,
    quiet_until: time | None = None,
) -> list[Refusal]:
    """Return why a permission of the owner cannot be noted so; empty: it can."""
    found = [] if kinds else [Refusal("no-kinds", "Tick what the owner allows.")]
    if ends_on < starts_on:
        found.append(Refusal("ends-first", "It ends before it starts."))
    if given_on is not None and given_on > today:
        found.append(Refusal("given-ahead", "A leave is noted once it is given: this is to come."))
    return found + _quiet_refusals(quiet_from, quiet_until)


def _quiet_refusals(quiet_from: time | None, quiet_until: time | None) -> list[Refusal]:
    if quiet_from is None and quiet_until is None:
        return []
    if quiet_from is None:
        sentence = "Say from when it is to be quiet, or take out until when."
        return [Refusal("quiet-from", sentence)]
    if quiet_until is None:
        sentence = "Say until when it is to be quiet, or take out from when."
        return [Refusal("quiet-until", sentence)]
    if quiet_until <= quiet_from:
        sentence = "The quiet hours end before they start: give hours of one day."
        return [Refusal("quiet-order", sentence)]
    return []


def refusals_to_note_family(
    *,
    state: FamilyState,
    kinds: Collection[object],
    asked_on: date | None,
    answered_on: date | None,
    today: date,
) -> list[Refusal]:
    """Return why what is noted of a family's leave cannot be so; empty: it can."""
    found = [] if kinds else [Refusal("no-kinds", "Tick what the family's leave is wanted for.")]
    return [
        *found,
        *_asked_refusals(state, asked_on, today),
        *_answered_refusals(state, asked_on, answered_on, today),
    ]


def _asked_refusals(state: FamilyState, asked_on: date | None, today: date) -> Iterator[Refusal]:
    if asked_on is None and state in WAITING:
        yield Refusal("not-asked", "Say on which day the family was asked.")
    if asked_on is not None and state is FamilyState.WANTED:
        yield Refusal("asked", "Not asked yet: take out the day, or say that they were asked.")
    if asked_on is not None and asked_on > today:
        yield Refusal("asked-ahead", "This day is to come.")


def _answered_refusals(
    state: FamilyState, asked_on: date | None, answered_on: date | None, today: date
) -> Iterator[Refusal]:
    if answered_on is None:
        if state in ANSWERED:
            yield Refusal("not-answered", "Say on which day the family answered.")
        return
    if state not in ANSWERED:
        yield Refusal("answered", "No answer yet: take out the day, or say what they answered.")
    if answered_on > today:
        yield Refusal("answered-ahead", "This day is to come.")
    if asked_on is not None and answered_on < asked_on:
        yield Refusal("answered-first", "They answered before they were asked.")
