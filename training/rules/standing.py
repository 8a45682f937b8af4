"""Standing: the level of a person in a skill at a cemetery on a date, from dated rows.

Never stored: the same rows give the same level, and a correction is one more row.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from enum import IntEnum


class Level(IntEnum):
    """Levels of a skill, lowest first; the numbers in which a kind of work asks for one."""

    NEW = 0
    TAUGHT = 1
    PRACTISED = 2
    SIGNED_OFF = 3
    SUPERVISOR = 4

    @property
    def word(self) -> str:
        """Return the level as people say it."""
        return self.name.lower().replace("_", " ")


@dataclass(frozen=True, slots=True)
class SignOffFacts:
    """A judgement that a person holds a level (signed off or supervisor) from a date on.

    `cemeteries` empty: at every one. `revoked_on`: it holds no longer on that day.
    """

    person: int
    skill: str
    level: Level
    on: date
    cemeteries: frozenset[int] = frozenset()
    revoked_on: date | None = None


@dataclass(frozen=True, slots=True)
class AttendanceFacts:
    """A person took part in a clinic on a skill."""

    person: int
    skill: str
    on: date


@dataclass(frozen=True, slots=True)
class CountersignedFacts:
    """Minutes and stones of one hours entry, as a supervisor confirmed or corrected them."""

    person: int
    skill: str
    on: date
    minutes: int
    stones: int = 0


@dataclass(frozen=True, slots=True)
class LedgerFacts:
    """Dated rows, of one person or of many."""

    sign_offs: tuple[SignOffFacts, ...] = field(default=())
    attendances: tuple[AttendanceFacts, ...] = field(default=())
    countersigned: tuple[CountersignedFacts, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Requirement:
    """What is asked before a skill counts as practised; `name` as people say it."""

    skill: str
    name: str
    minutes: int
    stones: int = 0


@dataclass(frozen=True, slots=True)
class Progress:
    """Countersigned work so far in one skill."""

    minutes: int
    stones: int


def standing(
    ledger: LedgerFacts, requirement: Requirement, *, person: int, cemetery: int, on: date
) -> Level:
    """Return the highest level that the rows up to and including `on` support."""
    level = _signed(ledger, requirement.skill, person=person, cemetery=cemetery, on=on)
    if level is not None:
        return level
    if not _outstanding(ledger, requirement, person=person, on=on):
        return Level.PRACTISED
    return Level.TAUGHT if _was_taught(ledger, requirement.skill, person, on) else Level.NEW


def standings(
    ledger: LedgerFacts,
    requirements: Iterable[Requirement],
    *,
    people: Iterable[int],
    cemetery: int,
    on: date,
) -> dict[tuple[int, str], Level]:
    """Return the level of every person in every skill, keyed by (person, skill)."""
    asked = list(requirements)
    by_person = {person: of_person(ledger, person) for person in people}
    return {
        (person, requirement.skill): standing(
            rows, requirement, person=person, cemetery=cemetery, on=on
        )
        for person, rows in by_person.items()
        for requirement in asked
    }


def progress(ledger: LedgerFacts, skill: str, *, person: int, on: date) -> Progress:
    """Return the countersigned minutes and stones up to and including `on`."""
    rows = [
        row
        for row in ledger.countersigned
        if (row.person, row.skill) == (person, skill) and row.on <= on
    ]
    return Progress(sum(row.minutes for row in rows), sum(row.stones for row in rows))


def missing(
    ledger: LedgerFacts, requirement: Requirement, *, person: int, cemetery: int, on: date
) -> str:
    """Return a sentence: what is missing for the next level; for the highest, that none is."""
    level = standing(ledger, requirement, person=person, cemetery=cemetery, on=on)
    if level is Level.SUPERVISOR:
        return f"Holds the highest level in {requirement.name}."
    if level is Level.SIGNED_OFF:
        return "To supervise others: a supervisor's judgement, given as a sign-off."
    if level is Level.PRACTISED:
        return "To be signed off: a supervisor's judgement that you may work and lead alone."
    still = _outstanding(ledger, requirement, person=person, on=on)
    practise = f"To count as practised: {' and '.join(still)} under a supervisor, countersigned."
    if level is Level.TAUGHT:
        return practise
    return f"To count as taught: take part in a clinic on {requirement.name}. {practise}"


def of_person(ledger: LedgerFacts, person: int) -> LedgerFacts:
    """Return the rows of one person only."""
    return LedgerFacts(
        tuple(row for row in ledger.sign_offs if row.person == person),
        tuple(row for row in ledger.attendances if row.person == person),
        tuple(row for row in ledger.countersigned if row.person == person),
    )


def hours_and_minutes(minutes: int) -> str:
    """Return a length of time in words: "1 hour 30 minutes"."""
    hours, rest = divmod(minutes, 60)
    parts = [_counted(hours, "hour")] if hours else []
    if rest or not hours:
        parts.append(_counted(rest, "minute"))
    return " ".join(parts)


def _signed(
    ledger: LedgerFacts, skill: str, *, person: int, cemetery: int, on: date
) -> Level | None:
    levels = [
        row.level
        for row in ledger.sign_offs
        if (row.person, row.skill) == (person, skill) and _holds(row, cemetery, on)
    ]
    return max(levels, default=None)


def _holds(row: SignOffFacts, cemetery: int, on: date) -> bool:
    begun = row.on <= on and (row.revoked_on is None or on < row.revoked_on)
    return begun and (not row.cemeteries or cemetery in row.cemeteries)


def _was_taught(ledger: LedgerFacts, skill: str, person: int, on: date) -> bool:
    return any(
        (row.person, row.skill) == (person, skill) and row.on <= on for row in ledger.attendances
    )


def _outstanding(
    ledger: LedgerFacts, requirement: Requirement, *, person: int, on: date
) -> list[str]:
    """Return what is still to be countersigned; nothing asked at all is never fulfilled."""
    done = progress(ledger, requirement.skill, person=person, on=on)
    minutes, stones = requirement.minutes - done.minutes, requirement.stones - done.stones
    still = [hours_and_minutes(minutes)] if minutes > 0 else []
    if stones > 0:
        still.append(_counted(stones, "stone"))
    if not requirement.minutes and not requirement.stones and not done.minutes:
        still.append("some work")
    return still


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
