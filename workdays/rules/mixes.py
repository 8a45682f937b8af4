"""Which planned jobs share one batch of a mixed material, when it is mixed and what is left of it.

The plan says when each job begins and ends, so a batch is mixed when its first job begins and
serves what ends while it can be worked, whichever crew does it. Of all sets that fit, the one that
leaves least is taken. How large a batch is and how long it stays workable is a row with its source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil

from workdays.rules.batches import DECILITRES, Bucket, litres
from workdays.rules.counting import joined, measured
from workdays.rules.wall_clock import hour

SECONDS = 60
MOST_WEIGHED = 20  # so many jobs at a time are weighed against each other, the earliest first
BINDER_PART, SAND_PART = 1, 3


@dataclass(frozen=True, slots=True)
class PlannedUse:
    """A planned job that uses the material, from and to on the clock of the place."""

    place: str
    crew: str
    starts_at: datetime
    ends_at: datetime
    decilitres: int

    @property
    def minutes(self) -> int:
        """Return how long it takes."""
        return ceil((self.ends_at.timestamp() - self.starts_at.timestamp()) / SECONDS)


@dataclass(frozen=True, slots=True)
class Mix:
    """Batches mixed for some jobs, the earliest first; more than one only for a large or long job.

    ``until``: when the last of it can no longer be worked.
    """

    uses: tuple[PlannedUse, ...]
    batches: int
    mixed: int
    until: datetime

    @property
    def at(self) -> datetime:
        """Return when the first batch is mixed."""
        return self.uses[0].starts_at

    @property
    def used(self) -> int:
        """Return the decilitres that the jobs take."""
        return sum(use.decilitres for use in self.uses)

    @property
    def left(self) -> int:
        """Return the decilitres left over."""
        return self.mixed - self.used


def mixes(uses: Iterable[PlannedUse], bucket: Bucket) -> list[Mix]:
    """Return every use in a mix, in the order of mixing."""
    rest = sorted(uses, key=lambda use: (use.starts_at, use.ends_at, use.place))
    found = []
    while rest:
        mix = _mix(rest[0], rest[1:], bucket)
        found.append(mix)
        taken = {id(use) for use in mix.uses}  # two jobs can be alike in every fact
        rest = [use for use in rest if id(use) not in taken]
    return found


def _mix(first: PlannedUse, others: Sequence[PlannedUse], bucket: Bucket) -> Mix:
    batches = max(
        ceil(first.decilitres / bucket.decilitres), ceil(first.minutes / bucket.minutes), 1
    )
    mixed = batches * bucket.decilitres
    until = _later(first.starts_at, batches * bucket.minutes)
    in_time = [use for use in others if use.ends_at.timestamp() <= until.timestamp()]
    shared = _fullest(in_time[:MOST_WEIGHED], mixed - first.decilitres)
    return Mix((first, *shared), batches, mixed, until)


def _later(at: datetime, minutes: int) -> datetime:
    """Add to the moment, not to the clock: on a clock change the two differ."""
    return datetime.fromtimestamp(at.timestamp() + minutes * SECONDS, tz=at.tzinfo)


def _fullest(others: Sequence[PlannedUse], room: int) -> list[PlannedUse]:
    """Return the set that fills the room best, exactly; of equals the one with the earliest."""
    best_by_volume: dict[int, tuple[int, ...]] = {0: ()}
    for place, use in enumerate(others):
        for volume, chosen in list(best_by_volume.items()):
            grown, more = volume + use.decilitres, (*chosen, place)
            if grown <= room and more < best_by_volume.get(grown, (len(others),)):
                best_by_volume[grown] = more
    return [others[place] for place in best_by_volume[max(best_by_volume)]]


def mix_words(mix: Mix, material: str) -> str:
    """Return what to mix for whom and when: "A-1 (Crew 1) and A-7 (Crew 2) share one batch ..."."""
    who = joined([f"{use.place} ({use.crew})" for use in mix.uses])
    name = material[:1].lower() + material[1:]
    count = "one batch" if mix.batches == 1 else f"{mix.batches} batches"
    has = "share" if len(mix.uses) > 1 else "uses"
    once = "once, " if mix.batches == 1 else ""
    whole = measured(mix.mixed / DECILITRES, "litre")
    return (
        f"{who} {has} {count} of {name}: mix {once}{_when(mix)}, {whole}. "
        f"{litres(mix.used)} are used, {_left(mix)}. It can be worked until {hour(mix.until)}."
    )


def _when(mix: Mix) -> str:
    return f"at {hour(mix.at)}" if mix.batches == 1 else f"the first at {hour(mix.at)}"


def _left(mix: Mix) -> str:
    return f"{litres(mix.left)} are left over" if mix.left else "nothing is left over"


def more_words(mix: Mix, ready: Iterable[tuple[str, int]]) -> str:
    """Return which other ready jobs, by place and decilitres, could use what is left; else empty.

    Each is small enough by itself; who adds several looks at the page of batches.
    """
    fitting = [
        f"{place} ({litres(decilitres)})" for place, decilitres in ready if decilitres <= mix.left
    ]
    if not fitting:
        return ""
    return f"Ready too, and small enough for what is left (litres): {joined(fitting[:5])}."


def parts_words(mixed: Iterable[Mix]) -> str:
    """Return what to bring for mixes: binder and sand by volume, common practice."""
    whole = sum(mix.mixed for mix in mixed)
    binder = whole * BINDER_PART / SAND_PART
    return (
        f"{measured(round(binder / DECILITRES, 1), 'litre')} of binder (lime) and "
        f"{measured(whole / DECILITRES, 'litre')} of sharp sand: one part to three by volume, "
        "common practice, no source; its label and the conservator decide."
    )
