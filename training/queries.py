"""Reads of the ledger: who holds what, what waits for a countersign. Facts leave as dataclasses."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Protocol, TypedDict, TypeVar

from django.db.models import OuterRef, QuerySet, Subquery
from django_stubs_ext import WithAnnotations

from coordinator.humans import Humans, humans
from coordinator.models import Person
from training.models import ClinicAttendance, Countersign, HoursEntry, SignOff, Skill
from training.rules.standing import (
    AttendanceFacts,
    CountersignedFacts,
    LedgerFacts,
    Level,
    Requirement,
    SignOffFacts,
    missing,
    progress,
    standing,
    standings,
)

SIGNED_LEVEL = {
    SignOff.Level.SIGNED_OFF: Level.SIGNED_OFF,
    SignOff.Level.SUPERVISOR: Level.SUPERVISOR,
}


class LastWord(TypedDict):
    """What the newest countersign of an entry says; None where there is none."""

    decision: str | None
    counted_minutes: int | None
    counted_stones: int | None


def requirements() -> list[Requirement]:
    """Return what is asked before each skill counts as practised."""
    return [
        Requirement(skill.key, skill.name, skill.practised_minutes, skill.practised_stones)
        for skill in Skill.objects.all()
    ]


def ledger_of(ids: Iterable[int]) -> LedgerFacts:
    """Return all dated rows of these people, of each row of theirs; four statements."""
    people = humans(ids)
    return LedgerFacts(
        tuple(_sign_offs(people)), tuple(_attendances(people)), tuple(_countersigned(people))
    )


class OfPerson(Protocol):
    """A row that belongs to somebody."""

    person_id: int


Row = TypeVar("Row", bound=OfPerson)


def _of_each(rows: Iterable[Row], people: Humans) -> Iterator[tuple[Row, int]]:
    """Yield each row with everybody asked for whose it is."""
    for row in rows:
        for person in people.whose(row.person_id):
            yield row, person


def _sign_offs(people: Humans) -> Iterable[SignOffFacts]:
    rows = SignOff.objects.filter(person__in=people.every).select_related("skill", "revocation")
    for row, person in _of_each(rows, people):
        revocation = getattr(row, "revocation", None)
        yield SignOffFacts(
            person=person,
            skill=row.skill.key,
            level=SIGNED_LEVEL[SignOff.Level(row.level)],
            on=row.on,
            cemeteries=frozenset(row.cemetery_numbers),
            revoked_on=revocation.on if revocation else None,
        )


def _attendances(people: Humans) -> Iterable[AttendanceFacts]:
    rows = ClinicAttendance.objects.filter(person__in=people.every).select_related("skill")
    for row, person in _of_each(rows, people):
        yield AttendanceFacts(person, row.skill.key, row.on)


def _countersigned(people: Humans) -> Iterable[CountersignedFacts]:
    rows = with_last_word(HoursEntry.objects.filter(person__in=people.every))
    for row, person in _of_each(rows, people):
        if row.decision in {Countersign.Decision.CONFIRMED, Countersign.Decision.CORRECTED}:
            yield CountersignedFacts(
                person,
                row.skill.key,
                row.on,
                row.counted_minutes or 0,
                row.counted_stones or 0,
            )


def with_last_word(
    entries: "QuerySet[HoursEntry]",
) -> "QuerySet[WithAnnotations[HoursEntry, LastWord]]":
    """Add the newest countersign to each entry: decision, counted_minutes, counted_stones."""
    newest = Countersign.objects.filter(entry=OuterRef("pk")).order_by("-at", "-pk")
    return entries.select_related("skill").annotate(
        decision=Subquery(newest.values("decision")[:1]),
        counted_minutes=Subquery(newest.values("minutes")[:1]),
        counted_stones=Subquery(newest.values("stones")[:1]),
    )


def standing_of(
    ids: Iterable[int], *, cemetery_number: int, on: date
) -> dict[int, dict[str, Level]]:
    """Return the level of each person in each skill at a cemetery on a date; five statements."""
    people = list(ids)
    found = standings(
        ledger_of(people), requirements(), people=people, cemetery=cemetery_number, on=on
    )
    levels: dict[int, dict[str, Level]] = {person: {} for person in people}
    for (person, skill), level in found.items():
        levels[person][skill] = level
    return levels


@dataclass(frozen=True)
class StandingLine:
    """One skill on a person's page: the level in words, minutes countersigned, what is missing."""

    skill: str
    level: Level
    minutes: int
    stones: int
    missing: str


def standing_lines(person: Person, *, cemetery_number: int, on: date) -> list[StandingLine]:
    """Return a person's level in each skill, with what is missing for the next."""
    ledger = ledger_of([person.pk])
    lines = []
    for asked in requirements():
        so_far = progress(ledger, asked.skill, person=person.pk, on=on)
        level = standing(ledger, asked, person=person.pk, cemetery=cemetery_number, on=on)
        still = missing(ledger, asked, person=person.pk, cemetery=cemetery_number, on=on)
        lines.append(
            StandingLine(
                skill=asked.name,
                level=level,
                minutes=so_far.minutes,
                stones=so_far.stones,
                missing=still,
            )
        )
    return lines


def waiting_for_countersign(supervisor: Person | None = None) -> "QuerySet[HoursEntry]":
    """Return entries without a word on them: all, or those that name this supervisor."""
    entries = HoursEntry.objects.filter(countersigns__isnull=True)
    if supervisor is not None:
        entries = entries.filter(supervisor=supervisor)
    return entries.select_related("person", "skill", "supervisor")
