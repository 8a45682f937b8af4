"""Who may sign up, confirm, withdraw; who gets a place, who waits, whom a free place is offered.

A moment held or offered "until" is over at that moment. Whatever needs a place counts until then.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, tzinfo
from enum import StrEnum

from workdays.rules.offering import answer_by
from workdays.rules.refusals import Refusal

HELD_FOR = timedelta(hours=24)


class State(StrEnum):
    """Where a sign-up stands; the words in which it is stored."""

    UNCONFIRMED = "unconfirmed"
    WAITING = "waiting"
    OFFERED = "offered"
    COMING = "coming"
    WITHDRAWN = "withdrawn"
    LAPSED = "lapsed"


LIVE = frozenset({State.UNCONFIRMED, State.WAITING, State.OFFERED, State.COMING})
TEMPORARY = frozenset({State.UNCONFIRMED, State.OFFERED})
NEEDS_A_PLACE = TEMPORARY | {State.COMING}


class DayState(StrEnum):
    """Where a day stands; the words in which it is stored."""

    DRAFT = "draft"
    OPEN = "open"
    CALLED_OFF = "called_off"
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class OpenDay:
    """What a sign-up must know of its day. `reserved`: places of parties for people not named.

    `zone`: of the clock at the cemetery. `learners`: places for people who are new to what a
    clinic teaches; None: no limit.
    """

    state: DayState
    starts_at: datetime
    cut_off_at: datetime
    capacity: int
    reserved: int = 0
    zone: tzinfo = UTC
    learners: int | None = None


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody who would sign up. `adult` None: not said. `earlier`: of an earlier sign-up."""

    adult: bool | None
    waiver_current: bool
    earlier: State | None = None


@dataclass(frozen=True, slots=True)
class Held:
    """A sign-up as the list sees it. `since`: when it joined; `until` None: without end.

    `people`: how many want places together; of a party its first person stands in line for all.
    `learners`: how many of them are new to what a clinic teaches.
    """

    number: int
    state: State
    since: datetime
    until: datetime | None = None
    people: int = 1
    learners: int = 0


@dataclass(frozen=True, slots=True)
class Offer:
    """A free place for one sign-up, open until a moment."""

    number: int
    until: datetime


def state_now(held: Held, *, now: datetime) -> State:
    """Return where a sign-up stands now: what is held or offered lapses at its moment."""
    over = held.until is not None and held.until <= now
    return State.LAPSED if over and held.state in TEMPORARY else held.state


def taken(sign_ups: Iterable[Held], *, now: datetime) -> int:
    """Return how many places are taken: coming, and held or offered and not lapsed."""
    return sum(state_now(held, now=now) in NEEDS_A_PLACE for held in sign_ups)


def places_left(day: OpenDay, sign_ups: Iterable[Held], *, now: datetime) -> int:
    """Return how many places are free, never below zero."""
    return max(0, day.capacity - day.reserved - taken(sign_ups, now=now))


def learners_left(day: OpenDay, sign_ups: Iterable[Held], *, now: datetime) -> int:
    """Return how many more people who are new to it a clinic can teach, never below zero."""
    if day.learners is None:
        return day.capacity
    taught = sum(held.learners for held in sign_ups if state_now(held, now=now) in NEEDS_A_PLACE)
    return max(0, day.learners - taught)


def refusals_to_sign_up(day: OpenDay, comer: Comer, *, now: datetime) -> list[Refusal]:
    """Return why somebody may not sign up; a full day is no reason, it has a waiting list."""
    return [*_day_shut(day, now), *_after_cut_off(day, now), *refusals_about(comer)]


def refusals_unsigned(*, typed: bool, holds: bool, signs_for_others: bool) -> list[Refusal]:
    """Return why a sign-up cannot do without a name ``typed`` under the waiver.

    ``holds``: what the person signed before holds on the day; a child is signed for each time.
    """
    if typed or (holds and not signs_for_others):
        return []
    return [Refusal("waiver", "Read the text and sign it: nobody can come without.")]


def refusals_to_confirm(held: Held, day: OpenDay, *, now: datetime) -> list[Refusal]:
    """Return why "yes" cannot be said to a held or offered place."""
    refusals = [*_day_shut(day, now), *_after_cut_off(day, now)]
    state = state_now(held, now=now)
    if state is State.LAPSED:
        refusals.append(Refusal("lapsed", "The place was held for you until now; sign up again."))
    if state is State.WITHDRAWN:
        refusals.append(Refusal("withdrawn", "You have withdrawn; sign up again to come."))
    if state is State.WAITING:
        refusals.append(Refusal("waiting", "No place is free yet; you are on the waiting list."))
    return refusals


def may_confirm(held: Held, day: OpenDay, *, now: datetime) -> bool:
    """Whether "yes" can be said now; saying it again when coming is allowed and changes nothing."""
    return not refusals_to_confirm(held, day, now=now)


def refusals_to_withdraw(held: Held, day: OpenDay, *, now: datetime) -> list[Refusal]:
    """Return why somebody can no longer take the sign-up back; the cut-off does not matter."""
    state = state_now(held, now=now)
    if state is State.WITHDRAWN:
        return [Refusal("withdrawn", "You have withdrawn already.")]
    if state is State.LAPSED:
        return [Refusal("lapsed", "Your place has lapsed; there is nothing to withdraw.")]
    if now >= day.starts_at:
        return [Refusal("begun", "The day has begun; please tell whoever leads it.")]
    return []


def place_for(
    day: OpenDay,
    sign_ups: Iterable[Held],
    *,
    now: datetime,
    confirmed: bool,
    people: int = 1,
    learners: int = 0,
) -> State:
    """Return the state of a new sign-up of so many people who want to be together.

    Somebody already waiting goes first: nobody new passes the list, save those who need no
    teaching where only places for people to be taught are wanting. `confirmed`: the mailbox has
    said yes before, so no place need be held for it.
    """
    rows = list(sign_ups)
    teach = learners_left(day, rows, now=now)
    queue = any(
        learners or not _waits_to_be_taught(held, teach) for held in waiting_list(rows, now=now)
    )
    full = places_left(day, rows, now=now) < people or teach < learners
    if queue or full or now >= day.cut_off_at:
        return State.WAITING
    return State.COMING if confirmed else State.UNCONFIRMED


def _waits_to_be_taught(held: Held, teach: int) -> bool:
    return held.learners > 0 and teach < held.learners


def held_until(day: OpenDay, *, now: datetime, named_by_party: bool = False) -> datetime:
    """Return until when a place is held for "yes": 24 hours, but not past the cut-off.

    A member named by a party has until the cut-off.
    """
    return day.cut_off_at if named_by_party else min(now + HELD_FOR, day.cut_off_at)


def waiting_list(sign_ups: Iterable[Held], *, now: datetime) -> list[Held]:
    """Return who waits, first come first, then by number."""
    waiting = [held for held in sign_ups if state_now(held, now=now) is State.WAITING]
    return sorted(waiting, key=lambda held: (held.since, held.number))


def next_offers(day: OpenDay, sign_ups: Iterable[Held], *, now: datetime) -> tuple[Offer, ...]:
    """Return the places to offer now, in the order of the list; none from the cut-off on.

    A party is offered places for all of it or none, and nobody behind it passes meanwhile. One
    that can never fit keeps nobody out. Where a clinic can teach no more, those who are new to it
    wait, in their order, and others go on.
    """
    if day.state is not DayState.OPEN or now >= day.cut_off_at:
        return ()
    rows = list(sign_ups)
    until = answer_by(cut_off_at=day.cut_off_at, now=now, zone=day.zone)
    free = places_left(day, rows, now=now)
    teach = learners_left(day, rows, now=now)
    offers: list[Offer] = []
    for held in waiting_list(rows, now=now):
        if held.people > day.capacity:
            continue
        if _waits_to_be_taught(held, teach):
            teach = 0  # nobody who is new passes those who wait for the same
            continue
        free -= held.people
        teach -= held.learners
        if free < 0:
            break
        offers.append(Offer(held.number, until))
    return tuple(offers)


def lapsed(sign_ups: Iterable[Held], *, now: datetime) -> tuple[int, ...]:
    """Return the numbers of sign-ups whose held or offered moment is over but not yet stored so."""
    return tuple(
        held.number
        for held in sign_ups
        if held.state is not State.LAPSED and state_now(held, now=now) is State.LAPSED
    )


def _day_shut(day: OpenDay, now: datetime) -> list[Refusal]:
    words = {
        DayState.DRAFT: Refusal("not-open", "This day is not open for sign-up yet."),
        DayState.CALLED_OFF: Refusal("called-off", "This day has been called off."),
        DayState.CLOSED: Refusal("past", "This day is over."),
    }
    if day.state in words:
        return [words[day.state]]
    return [Refusal("past", "This day has begun.")] if now >= day.starts_at else []


def _after_cut_off(day: OpenDay, now: datetime) -> list[Refusal]:
    if not day.cut_off_at <= now < day.starts_at or day.state is not DayState.OPEN:
        return []
    return [Refusal("cut-off", "Sign-up is closed; please telephone if you still want to come.")]


def refusals_about(comer: Comer) -> list[Refusal]:
    """Return why this person cannot come, whatever the day."""
    refusals = []
    if not comer.adult:
        sentence = "This form is for adults; a guardian signs up and brings minors along."
        refusals.append(Refusal("minor", sentence))
    if not comer.waiver_current:
        refusals.append(Refusal("waiver", "Please read and sign the waiver as it stands now."))
    if comer.earlier in LIVE:
        refusals.append(Refusal("already", "You are signed up for this day already."))
    return refusals
