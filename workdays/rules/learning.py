"""How long a job takes, learned from what was noted when days were closed.

The times of one day share its weather, its crew and one person's watch, so each day counts once,
by its median. Until there are days enough the default stands in for each missing one. A median
is moved by a wrong figure to its next neighbour at most, however wrong the figure is.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from statistics import median

ENOUGH_DAYS = 5
NEWEST_DAYS = 15


@dataclass(frozen=True, slots=True)
class Part:
    """What one day gave to one job, in person-minutes; ``finished``: it was done that day."""

    job: int
    on: date
    person_minutes: int
    finished: bool = True


@dataclass(frozen=True, slots=True)
class Took:
    """What one whole job took, and the day on which it was done; ``here``: at this cemetery."""

    on: date
    person_minutes: int
    here: bool = True


@dataclass(frozen=True, slots=True)
class Estimate:
    """The person-minutes to expect; ``days`` it rests on, ``elsewhere`` of them elsewhere."""

    minutes: int
    days: int
    elsewhere: int = 0

    @property
    def words(self) -> str:
        """Return the figure with what it rests on: "38 min from 7 days"."""
        if not self.days:
            return f"{self.minutes} min, the default: no times yet"
        days = "1 day" if self.days == 1 else f"{self.days} days"
        how_many = "all" if self.elsewhere == self.days else f"{self.elsewhere} of them"
        where = f", {how_many} elsewhere" if self.elsewhere else ""
        few = " and the default" if self.days < ENOUGH_DAYS else ""
        return f"{self.minutes} min from {days}{where}{few}"


def whole_jobs(parts: Iterable[Part], *, here: bool = True) -> list[Took]:
    """Return what each finished job took in all; what was begun and not finished is left out."""
    so_far: dict[int, int] = defaultdict(int)
    found = []
    for part in sorted(parts, key=lambda part: (part.on, part.finished)):
        so_far[part.job] += part.person_minutes
        if part.finished:
            found.append(Took(part.on, so_far.pop(part.job), here))
    return found


def estimate(times: Iterable[Took], default: int) -> Estimate:
    """Return the person-minutes to expect of one kind of work at stones of one size.

    The newest days at this cemetery count; while they are few, days elsewhere are added.
    Never below 1, never outside of what was noted and, while days are few, the default.
    """
    rows = list(times)
    here = _days(row for row in rows if row.here)
    away = _days(row for row in rows if not row.here) if len(here) < ENOUGH_DAYS else []
    away = away[: NEWEST_DAYS - len(here)]
    known = [*here, *away]
    missing = [float(default)] * (ENOUGH_DAYS - len(known))
    minutes = max(1, round(median([*known, *missing])))
    return Estimate(minutes, len(known), len(away))


def _days(times: Iterable[Took]) -> list[float]:
    """Return the median of each day, the newest first, at most so many."""
    by_day: dict[date, list[int]] = defaultdict(list)
    for row in times:
        by_day[row.on].append(row.person_minutes)
    newest = sorted(by_day, reverse=True)[:NEWEST_DAYS]
    return [float(median(by_day[on])) for on in newest]
