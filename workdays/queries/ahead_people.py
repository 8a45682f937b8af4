"""Who usually comes to a cemetery, and which of its days were lost; from what was noted."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from django.db.models import QuerySet
from django.db.models.functions import Coalesce

from coordinator.humans import kept_row
from coordinator.models import Person
from training.queries import standing_of
from training.rules.standing import Level
from workdays.models import Cemetery, RollEntry, SignUp, Workday
from workdays.queries.blocks import work_blocks
from workdays.queries.ground import today_at
from workdays.queries.plan_keys import person_key
from workdays.queries.planning import PLAN_LEVEL
from workdays.rules.ahead_facts import Lost, Usual
from workdays.rules.brought import most_at_once
from workdays.rules.facts import KindFacts, PersonFacts

NEWEST_DAYS = 24
YEARS = timedelta(days=3 * 365)


@dataclass(frozen=True)
class Turnout:
    """Who came to the past days of a cemetery.

    `people`: adults and minors with how often they came since their first day. `newcomers`: on
    each day after the first, how many adults came for the first time. `held`: days that took
    place; `lost`: by month. `kit`: the most of each equipment that a day had. `hours`: of work on
    the newest day, None where there is none. `next_on`: when the next day is.
    """

    people: tuple[Usual, ...] = ()
    newcomers: tuple[int, ...] = ()
    held: int = 0
    lost: Mapping[int, Lost] = field(default_factory=dict)
    kit: Mapping[str, int] = field(default_factory=dict)
    hours: float | None = None
    next_at: datetime | None = None


def turnout_of(place: Cemetery, kinds: Iterable[KindFacts], *, now: datetime) -> Turnout:
    """Return the turn-out of the newest two dozen workdays of three years; eleven statements."""
    rows = place.days.filter(starts_at__gte=now - YEARS, purpose=Workday.Purpose.WORKDAY)
    days = list(rows.exclude(state=Workday.State.DRAFT).order_by("-starts_at"))
    coming = [day for day in days if day.ends_at >= now and day.state == Workday.State.OPEN]
    past = [day for day in days if day.ends_at < now]
    held = [day for day in past if day.state != Workday.State.CALLED_OFF][:NEWEST_DAYS]
    came = _came([day.pk for day in reversed(held)])
    people = Person.objects.in_bulk({person for there in came for person in there})
    people = {pk: person for pk, person in people.items() if person.erased_at is None}
    digs = tuple(kind.id for kind in kinds if kind.digs)
    newest = held[0] if held else coming[-1] if coming else None
    return Turnout(
        people=tuple(_usual(place, people, came, digs, now)),
        newcomers=_newcomers(came, people),
        held=len(held),
        lost=_lost(place, past),
        kit=most_at_once(day.equipment for day in [*held, *coming]),
        hours=_hours(newest) if newest else None,
        next_at=coming[-1].starts_at if coming else None,
    )


def _came(days: list[int]) -> list[set[int]]:
    """Return who came to each day, by the kept row of each human being.

    A day whose roll nobody kept counts those who had said that they would come.
    """
    human = Coalesce("person__joined_into", "person")
    roll, said = defaultdict(set), defaultdict(set)
    for day, person in _pairs(RollEntry.objects.filter(day__in=days), human):
        roll[day].add(person)
    coming = SignUp.objects.filter(day__in=days, state=SignUp.State.COMING)
    for day, person in _pairs(coming, human):
        said[day].add(person)
    return [roll[day] or said[day] for day in days]


def _pairs(rows: QuerySet[Any], human: Coalesce) -> Iterable[tuple[int, int]]:
    pairs: Iterable[tuple[int, int]]
    pairs = rows.order_by().annotate(human=human).values_list("day", "human")
    return pairs


def _usual(
    place: Cemetery,
    people: Mapping[int, Person],
    came: list[set[int]],
    digs: tuple[str, ...],
    now: datetime,
) -> Iterable[Usual]:
    on = today_at(place, now=now)
    standing = standing_of(people, cemetery_number=place.pk, on=on)
    said = _last_said(people, place)
    for pk in sorted(people):
        days = [pk in there for there in came]
        after = days[days.index(True) + 1 :]
        facts = _facts(people[pk], standing[pk], said.get(pk), digs)
        yield Usual(facts, came=sum(after), days=len(after))


def _last_said(people: Iterable[int], place: Cemetery) -> dict[int, SignUp]:
    """Return what each said last when signing up here: limits, guardian."""
    rows = SignUp.objects.filter(person__in=people, day__cemetery=place).select_related("guardian")
    return {row.person_id: row for row in rows.order_by("day__starts_at", "pk")}


def _facts(
    person: Person, levels: Mapping[str, Level], said: SignUp | None, digs: tuple[str, ...]
) -> PersonFacts:
    """Return somebody as a plan would see them today; who cannot kneel does not dig."""
    light = said is not None and (said.cannot_lift or said.cannot_stand_long)
    guardian = said.guardian if said else None
    return PersonFacts(
        id=person_key(person.pk),
        arrive=0,
        leave=0,
        levels={key: PLAN_LEVEL[level] for key, level in levels.items()},
        adult=person.is_adult,
        guardian=person_key(kept_row(guardian)) if guardian else None,
        lift=person.is_adult and not (said is not None and said.cannot_lift),
        light=light,
        leads=person.is_adult and person.may_lead,
        conservator=person.is_conservator,
        barred=digs if said is not None and said.cannot_kneel else (),
        langs=tuple((said.languages if said else None) or person.languages),
    )


def _newcomers(came: list[set[int]], people: Mapping[int, Person]) -> tuple[int, ...]:
    known: set[int] = set()
    counts = []
    for there in came:
        adults = [pk for pk in there - known if pk in people and people[pk].is_adult]
        counts.append(len(adults))
        known |= there
    return tuple(counts[1:])


def _lost(place: Cemetery, past: Iterable[Workday]) -> dict[int, Lost]:
    found: dict[int, Lost] = {}
    for day in past:
        month = day.starts_at.astimezone(place.zone).month
        before, off = found.get(month, Lost()), day.state == Workday.State.CALLED_OFF
        found[month] = Lost(before.called_off + off, before.days + 1)
    return found


def _hours(day: Workday) -> float | None:
    blocks = work_blocks(day)
    seconds = sum((block.ends_at - block.starts_at).total_seconds() for block in blocks)
    return seconds / 3600 or None
