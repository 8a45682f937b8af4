"""Propose the minutes a trainee earned in a block, from the roll and the plan.

A proposal is unique by day, person, block and skill; proposing twice gives the same rows.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta

QUARTER_MINUTES = 15

Span = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay of a person on the ground. `left_at` None: never noted, so nothing can count."""

    person: int
    arrived_at: datetime
    left_at: datetime | None


@dataclass(frozen=True, slots=True)
class WorkBlock:
    """A stretch of work between breaks; blocks of a day do not overlap."""

    number: int
    starts_at: datetime
    ends_at: datetime


@dataclass(frozen=True, slots=True)
class PlannedPart:
    """One person's part in a block: which skill, for how long, under whom.

    `minutes` None: the whole block. `supervisor` None: nobody was named, so nothing counts.
    """

    person: int
    block: int
    skill: str
    supervisor: int | None
    minutes: int | None = None
    stones: int = 0
    placement: int | None = None


@dataclass(frozen=True, slots=True)
class Proposal:
    """Minutes to be countersigned; the key is (day, person, block, skill)."""

    day: int
    person: int
    block: int
    skill: str
    minutes: int
    stones: int
    supervisor: int
    placement: int | None

    @property
    def key(self) -> tuple[int, int, int, str]:
        """Return what makes the proposal unique."""
        return (self.day, self.person, self.block, self.skill)


def proposals(
    day: int,
    *,
    roll: Iterable[Stay],
    blocks: Iterable[WorkBlock],
    parts: Iterable[PlannedPart],
) -> tuple[Proposal, ...]:
    """Return what the day earned, in the order of block, person and skill.

    Whole quarter hours, rounded down; only while person and supervisor were both there and never
    more than planned. Several skills of one person in a block share the time. Breaks lie outside
    the blocks. Parts of the same key are one. No row where nothing was earned.
    """
    stays = list(roll)
    by_number = {block.number: block for block in blocks}
    earned: list[Proposal] = []
    used: dict[tuple[int, int], int] = {}
    for part in _joined(parts):
        seat = (part.block, part.person)
        minutes, supervisor = _earned(part, by_number, stays, used.get(seat, 0)), part.supervisor
        used[seat] = used.get(seat, 0) + minutes
        if minutes and supervisor is not None:
            earned.append(_proposal(day, part, minutes, supervisor))
    return tuple(earned)


def _proposal(day: int, part: PlannedPart, minutes: int, supervisor: int) -> Proposal:
    return Proposal(
        day,
        part.person,
        part.block,
        part.skill,
        minutes,
        part.stones,
        supervisor,
        part.placement,
    )


def minutes_present(stays: Iterable[Stay], person: int, span: Span) -> int:
    """Return the whole minutes that a person was there within a span."""
    return _whole_minutes(_presence(stays, person, span))


def _joined(parts: Iterable[PlannedPart]) -> list[PlannedPart]:
    """Return one part per block, person and skill; planned minutes and stones are added up."""
    joined: dict[tuple[int, int, str], PlannedPart] = {}
    for part in parts:
        key = (part.block, part.person, part.skill)
        joined[key] = _added(joined[key], part) if key in joined else part
    return [joined[key] for key in sorted(joined)]


def _added(first: PlannedPart, second: PlannedPart) -> PlannedPart:
    whole = first.minutes is None or second.minutes is None
    minutes = None if whole else (first.minutes or 0) + (second.minutes or 0)
    return replace(first, minutes=minutes, stones=first.stones + second.stones)


def _earned(part: PlannedPart, blocks: dict[int, WorkBlock], stays: list[Stay], used: int) -> int:
    """Return the quarter hours of one part, in minutes; `used` went to the person's other skills.

    Nobody supervises themselves, so a supervisor's own part earns nothing.
    """
    block = blocks.get(part.block)
    if block is None or part.supervisor is None or part.supervisor == part.person:
        return 0
    span = (block.starts_at, block.ends_at)
    own, theirs = (_presence(stays, who, span) for who in (part.person, part.supervisor))
    both = _whole_minutes(_overlaps(own, theirs)) - used
    planned = both if part.minutes is None else min(both, part.minutes)
    return max(0, planned) // QUARTER_MINUTES * QUARTER_MINUTES


def _presence(stays: Iterable[Stay], person: int, span: Span) -> list[Span]:
    """Return when a person was there within the span: in order, without overlap."""
    inside = sorted(
        (max(stay.arrived_at, span[0]), min(stay.left_at, span[1]))
        for stay in stays
        if stay.person == person and stay.left_at is not None
    )
    merged: list[Span] = []
    for start, end in inside:
        if merged and start <= merged[-1][1]:
            merged[-1] = (merged[-1][0], max(end, merged[-1][1]))
        elif start < end:
            merged.append((start, end))
    return merged


def _overlaps(first: list[Span], second: list[Span]) -> list[Span]:
    pairs = ((max(a[0], b[0]), min(a[1], b[1])) for a in first for b in second)
    return [(start, end) for start, end in pairs if start < end]


def _whole_minutes(spans: Iterable[Span]) -> int:
    total = sum((end - start for start, end in spans), timedelta())
    return int(total / timedelta(minutes=1))
