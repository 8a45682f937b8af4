"""Suggest the priority of a job: danger to visitors, getting worse, who waits, what is planned.

The points are common practice, no source; what they are given for names its source. A person's
own priority stands until a person takes the suggestion.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from workdays.rules.kinds import KindFacts
from workdays.rules.published import COMMON_PRACTICE
from workdays.rules.triage import (
    CAROLINA,
    CHICORA,
    LEAN_BANDS,
    SIGN_WORDS,
    STANDARDS,
    URGENT_DEGREES,
    Sign,
    SurveyFacts,
)
from workdays.rules.wall_clock import day_words

USUAL = 30
LEAST, MOST = 1, 100
MORE_DEGREES = 2  # what two people with a level may differ by is less: common practice

DAMAGE = (
    Sign.SUGARING,
    Sign.FLAKING,
    Sign.CRACKS,
    Sign.HOLLOW,
    Sign.WOBBLE,
    Sign.LOOSE_PIECES,
    Sign.BROKEN_THROUGH,
    Sign.FALLEN,
    Sign.SUNK,
)
LOSING_FACE = (Sign.SUGARING, Sign.FLAKING)


@dataclass(frozen=True, slots=True)
class JobToRank:
    """A job and what speaks for doing it early.

    ``reads``: it records the inscription. ``newest`` and ``before``: the last two looks at its
    stone. ``cordon``: the conclusion in force keeps people away. ``family_waits``: the family
    gave its leave for this work. ``planned_on``: the next day with jobs in its section.
    """

    kind: KindFacts
    reads: bool = False
    newest: SurveyFacts | None = None
    before: SurveyFacts | None = None
    cordon: bool = False
    family_waits: bool = False
    planned_on: date | None = None

    @property
    def makes_safe(self) -> bool:
        """Whether the work sets a stone firm again: resetting, mending."""
        return self.kind.heavy


@dataclass(frozen=True, slots=True)
class Grounds:
    """One reason for a priority, with its points and where it was published."""

    points: int
    sentence: str
    source: str = COMMON_PRACTICE.words


@dataclass(frozen=True, slots=True)
class Suggestion:
    """A priority from 1 to 100 and every reason for it."""

    priority: int
    grounds: tuple[Grounds, ...]


def suggestion(job: JobToRank) -> Suggestion | None:
    """Return the priority that the rules suggest; None when nothing speaks for any."""
    grounds = (*_danger(job), *_losing_face(job), *_worse(job), *_waiting(job))
    if not grounds:
        return None
    total = USUAL + sum(ground.points for ground in grounds)
    return Suggestion(max(LEAST, min(MOST, total)), grounds)


def _danger(job: JobToRank) -> list[Grounds]:
    """Return the gravest danger to visitors that this work would end."""
    if not job.makes_safe:
        return []
    signs = job.newest.signs if job.newest else frozenset()
    lean = (job.newest.lean_degrees if job.newest else None) or 0
    if lean >= URGENT_DEGREES:
        sentence = f"A danger to visitors: it leans {lean:g} degrees, a touch may snap it."
        return [Grounds(50, sentence, LEAN_BANDS.words)]
    if Sign.WOBBLE in signs:
        return [Grounds(50, "A danger to visitors: it wobbles.", CHICORA.words)]
    if job.cordon:
        return [Grounds(45, "A danger to visitors: people are kept away from it.", CHICORA.words)]
    if Sign.FALLEN in signs:
        return [Grounds(30, "A danger to visitors: it lies on the ground.")]
    return []


def _losing_face(job: JobToRank) -> list[Grounds]:
    signs = job.newest.signs if job.newest else frozenset()
    if not job.reads or not signs & set(LOSING_FACE):
        return []
    words = " and ".join(SIGN_WORDS[sign] for sign in LOSING_FACE if sign in signs)
    return [Grounds(50, f"It is losing its face ({words}): read it first.", STANDARDS.words)]


def _worse(job: JobToRank) -> list[Grounds]:
    """Return what two looks differ in; for work that mends it, or that saves the words."""
    if job.newest is None or job.before is None:
        return []
    found = []
    grew = _grown(job.before, job.newest)
    if grew and job.makes_safe:
        sentence = f"It leans {grew:g} degrees more than on {_day(job.before.on)}."
        found.append(Grounds(15, sentence, LEAN_BANDS.words))
    added = [sign for sign in DAMAGE if sign in job.newest.signs - job.before.signs]
    if added and (job.makes_safe or job.reads):
        words = ", ".join(SIGN_WORDS[sign] for sign in added)
        sentence = f"Getting worse since {_day(job.before.on)}: {words}."
        found.append(Grounds(15, sentence, CAROLINA.words))
    return found


def _grown(before: SurveyFacts, newest: SurveyFacts) -> float:
    """Return by how many degrees the lean grew; 0 within what two looks may differ by."""
    if before.lean_degrees is None or newest.lean_degrees is None:
        return 0
    grew = newest.lean_degrees - before.lean_degrees
    return grew if grew >= MORE_DEGREES else 0


def _waiting(job: JobToRank) -> list[Grounds]:
    found = []
    if job.family_waits:
        found.append(Grounds(15, "The family gave its leave and waits."))
    if job.planned_on:
        sentence = f"People work in this section on {day_words(job.planned_on)} anyway."
        found.append(Grounds(10, sentence))
    return found


def _day(on: date) -> str:
    return f"{on.day} {on:%B %Y}"
