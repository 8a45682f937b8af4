"""What the page at the gate must know: the room left, who is known, who can be a guardian."""

from collections.abc import Iterable
from datetime import datetime

from django.db.models import Q, QuerySet

from coordinator.models import Person
from workdays.models import Cemetery, SignUp, Workday
from workdays.queries import sign_ups
from workdays.queries.waivers import people_with_waiver
from workdays.rules import eligibility
from workdays.rules.gate import Room

MOST_FOUND = 8


def room_of(day: Workday, rows: Iterable[SignUp], *, now: datetime) -> Room:
    """Return the places of a day; whoever waits goes first for as long as places are offered."""
    facts, line = sign_ups.open_day(day), sign_ups.in_line(rows)
    taken = facts.reserved + eligibility.taken(line, now=now)
    waiting = eligibility.waiting_list(line, now=now) if now < day.cut_off_at else []
    return Room(day.capacity, taken, len(waiting))


def is_full(day: Workday, *, now: datetime) -> bool:
    """Return whether nobody more may be added without a reason."""
    return not room_of(day, sign_ups.live_rows(day), now=now).free


def is_full_for(day: Workday, row: SignUp, *, now: datetime) -> bool:
    """Return whether somebody gets a place with a reason only: too few are free or held for them.

    For them and those who wait with them.
    """
    others = [other for other in sign_ups.live_rows(day) if other.pk != row.pk]
    return room_of(day, others, now=now).free < places_wanted(row, now=now)


def places_wanted(row: SignUp, *, now: datetime) -> int:
    """Return how many places somebody lacks, with those whom they brought; one statement."""
    people = [row, *sign_ups.came_with(row)]
    states = [eligibility.state_now(sign_ups.held(one), now=now) for one in people]
    return sum(state not in eligibility.NEEDS_A_PLACE for state in states)


def known_people(places: "QuerySet[Cemetery]") -> "QuerySet[Person]":
    """Return people who signed up at one of these places, or lead something everywhere there."""
    there = Q(sign_ups__day__cemetery__in=places) | Q(roll__day__cemetery__in=places)
    there |= Q(joined_from__sign_ups__day__cemetery__in=places)
    rows = Person.objects.filter(there, erased_at__isnull=True, joined_into__isnull=True)
    return rows.distinct().order_by("name", "pk")


def found_by_name(places: "QuerySet[Cemetery]", words: str) -> list[Person]:
    """Return the first few known people in whose name these words stand; one statement."""
    return list(known_people(places).filter(name__icontains=words)[:MOST_FOUND])


def guardians(day: Workday) -> list[Person]:
    """Return adults who come to a day with a valid waiver, by name; three statements."""
    rows = Person.objects.filter(
        sign_ups__day=day, sign_ups__state=SignUp.State.COMING, is_adult=True
    )
    people = list(rows.distinct().order_by("name", "pk"))
    signed = people_with_waiver(day, [person.pk for person in people])
    return [person for person in people if person.pk in signed]
