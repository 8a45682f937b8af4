"""What the rules of signing up must know of a day and its list."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta

from django.db.models import QuerySet, Sum

from coordinator.humans import is_same
from coordinator.links import Purpose
from coordinator.models import Person
from workdays.models import Party, SignUp, Workday
from workdays.queries import naming
from workdays.queries.teaching import teaching_of
from workdays.rules.eligibility import LIVE, DayState, Held, OpenDay, State, held_until
from workdays.rules.parties import Companion
from workdays.rules.teaching import Teaching

# Longer than any place is held, so that a late reader is told what happened to the place.
CONFIRM = Purpose("confirm-sign-up", timedelta(days=14))
# The reminder on the evening before the cut-off brings a fresh one, where that is later.
ANSWER = Purpose("answer-when-named", timedelta(days=30))


def open_day(day: Workday, teaching: Teaching | None = None) -> OpenDay:
    """Return the facts of a day; one statement."""
    reserved = Party.objects.filter(day=day).aggregate(places=Sum("reserved"))["places"] or 0
    return OpenDay(
        DayState(day.state),
        day.starts_at,
        day.cut_off_at,
        day.capacity,
        reserved=reserved,
        zone=day.cemetery.zone,
        learners=teaching.places if teaching else None,
    )


def held(sign_up: SignUp) -> Held:
    """Return one sign-up as the list sees it."""
    return Held(
        number=sign_up.pk,
        state=State(sign_up.state),
        since=sign_up.created_at,
        until=sign_up.held_until,
    )


def live_rows(day: Workday) -> list[SignUp]:
    """Return the live sign-ups of a day with their people; one statement."""
    return list(SignUp.objects.filter(day=day, state__in=LIVE).select_related("person"))


def coming_by_name(day: Workday) -> "QuerySet[SignUp]":
    """Return the sign-ups of who is coming to a day, with their people, by name."""
    rows = day.sign_ups.filter(state=SignUp.State.COMING)
    return rows.select_related("person").order_by("person__name", "pk")


def in_line(rows: Iterable[SignUp], teaching: Teaching | None = None) -> list[Held]:
    """Return the list as the rules see it: a stranger who waits is not in line before "yes".

    Otherwise made-up addresses could fill the waiting list and keep people out. Of people who
    come together the first stands in line for all.
    """
    every = list(rows)
    new = teaching.new if teaching else frozenset()
    waits = Counter(_first(row) for row in every if _waits(row))
    taught = Counter(_first(row) for row in every if _waits(row) and row.person_id in new)
    return [
        _waiting(row, waits, taught)
        if _waits(row)
        else replace(held(row), learners=int(row.person_id in new))
        for row in every
        if not _is_waiting_stranger(row) and not (_waits(row) and _first(row) != row.person_id)
    ]


def _waiting(row: SignUp, waits: Counter[int], taught: Counter[int]) -> Held:
    first = row.person_id
    return replace(held(row), people=waits[first], learners=taught[first])


def line_of(day: Workday, rows: Iterable[SignUp]) -> tuple[OpenDay, list[Held]]:
    """Return the facts of a day and its list; one statement, seven for a clinic."""
    every = list(rows)
    teaching = teaching_of(day, every)
    return open_day(day, teaching), in_line(every, teaching)


def _waits(row: SignUp) -> bool:
    return row.state == SignUp.State.WAITING


def _first(row: SignUp) -> int:
    """Return the person who stands in line for this sign-up: who signed it up, else its own."""
    return row.guardian_id or row.named_by_id or row.person_id


def over(rows: Iterable[SignUp], *, now: datetime) -> list[int]:
    """Return strangers on the waiting list who did not answer in time."""
    return [
        row.pk
        for row in rows
        if _is_waiting_stranger(row) and row.held_until is not None and row.held_until <= now
    ]


def _is_waiting_stranger(row: SignUp) -> bool:
    return _waits(row) and row.person.is_provisional


def came_with(row: SignUp) -> list[SignUp]:
    """Return the live sign-ups that this person made for others on the day; one statement."""
    others = SignUp.objects.filter(day=row.day_id, state__in=LIVE).exclude(pk=row.pk)
    mine = others.filter(guardian=row.person_id) | others.filter(named_by=row.person_id)
    return list(mine.select_related("person", "party").order_by("pk"))


def wards_there(rows: Iterable[SignUp], guardian: Person) -> list[Companion]:
    """Return those of the rows who came under this guardian before, whoever brings them now."""
    wards = Person.objects.filter(sign_ups__guardian=guardian, is_adult=False)
    numbers = set(wards.values_list("pk", flat=True))
    there = [row.person for row in rows if row.person_id in numbers]
    return [Companion(0, person.name, born_on=person.born_on) for person in there]


def waits_for(row: SignUp) -> Person | None:
    """Return who answers for somebody they brought along, while they do not come themselves.

    An adult who holds a place until an own answer waits for nobody.
    """
    first = row.guardian or row.named_by
    if first is None or (row.named_by_id and row.state == SignUp.State.UNCONFIRMED):
        return None
    comes = SignUp.objects.filter(day=row.day_id, person=first, state=SignUp.State.COMING)
    return None if comes.exists() else first


def earlier_state(rows: Iterable[SignUp], person: Person | None) -> State | None:
    """Return the state of a known person's live sign-up among the rows, if there is one."""
    if person is None:
        return None
    return next((State(row.state) for row in rows if is_same(row.person, person)), None)


def confirm_state(row: SignUp) -> str:
    """Return what the link of the first mail is good for: a stranger's answer, given once."""
    return f"{row.state} {'stranger' if row.person.is_provisional else 'known'}"


def held_until_words(day: Workday, *, now: datetime) -> str:
    """Return until when a place taken now is held: "Thursday 7 May, 14:00"."""
    facts = OpenDay(DayState(day.state), day.starts_at, day.cut_off_at, day.capacity)
    return naming.moment_name(day, held_until(facts, now=now))
