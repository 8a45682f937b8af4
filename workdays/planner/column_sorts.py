"""What the columns of the bound are made of: sorts of work, equipment, lifters, crews as columns.

A sort is what jobs ask of the people of a crew apart from their number; few sorts make up a day.
"""

from dataclasses import dataclass
from itertools import product

from workdays.planner.index import Ground, JobClass

MOST_SORTS = 7
MOST_HOLDINGS = 48
MOST_LIFTS = 4
MOST_NEAR = 3


@dataclass(frozen=True, slots=True)
class Sort:
    """What some jobs ask of who is in the crew: sets of people as bits."""

    skill: int
    fit: int
    lead: int
    new: int
    competent: int
    ratio: int
    supervised: bool
    below: int
    masters: int


@dataclass(frozen=True, slots=True)
class CrewColumn:
    """One crew of one block with all it does; `supervisor` is -1 where none is needed."""

    b: int
    leader: int
    mask: int
    jobs: tuple[int, ...]
    supervisor: int = -1


@dataclass(frozen=True, slots=True)
class Holding:
    """What a crew has at hand: how much of each kit, and how many who lift."""

    kit: tuple[int, ...]
    lifters: int


def sort_of(asked: JobClass) -> Sort:
    """The sort of a class of jobs."""
    return Sort(
        asked.skill,
        asked.fit,
        asked.lead,
        asked.new,
        asked.competent,
        asked.ratio,
        asked.supervised,
        asked.below,
        asked.masters,
    )


class Sorts:
    """The sorts of a day, the sort of each job, and the holdings that make a difference."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        found: dict[Sort, int] = {}
        self.of = [
            found.setdefault(sort_of(ground.classes[c]), len(found)) for c in ground.job_class
        ]
        self.sorts = list(found)
        self.lifts = _thinned(sorted({ground.classes[c].lifters for c in ground.job_class} | {0}))
        self.kits = self._kits()
        self.holdings = [
            Holding(kit, lifters)
            for kit in product(*(self._levels(k) for k in self.kits))
            for lifters in self.lifts
        ]
        self.ratio = self._ratio()

    def _levels(self, kit: int) -> list[int]:
        there = self.ground.kit_there[kit]
        asked = {n for job in self.ground.kit for k, n in job if k == kit and n <= there}
        return sorted(asked | {0})

    def _kits(self) -> list[int]:
        """Equipment that could be short, the shortest first; what is too much is relaxed."""
        ground = self.ground
        use = [0] * len(ground.kits)
        for job in ground.kit:
            for k, n in job:
                use[k] += n
        kept: list[int] = []
        count = len(self.lifts)
        for k in sorted(range(len(use)), key=lambda k: ground.kit_there[k] / max(1, use[k])):
            levels = len(self._levels(k))
            if levels > 1 and count * levels <= MOST_HOLDINGS:
                kept.append(k)
                count *= levels
        return sorted(kept)

    def _ratio(self) -> int:
        """The sort whose ratio of new people is kept to; those of others are relaxed."""
        worth = [0] * len(self.sorts)
        for j, s in enumerate(self.of):
            worth[s] += self.ground.priority[j]
        able = [s for s, sort in enumerate(self.sorts) if sort.ratio >= 0]
        return max(able, key=lambda s: worth[s], default=-1)

    def holds(self, holding: Holding, j: int) -> bool:
        """Whether a crew with this at hand may do a job."""
        needed = dict(self.ground.kit[j])
        lifters = self.ground.classes[self.ground.job_class[j]].lifters
        return lifters_kept(self.lifts, lifters) <= holding.lifters and all(
            needed.get(k, 0) <= n for k, n in zip(self.kits, holding.kit, strict=True)
        )

    def supervised(self, j: int) -> bool:
        """Whether a job needs a supervisor."""
        return self.sorts[self.of[j]].supervised

    def worth(self, column: CrewColumn) -> int:
        """Points of a crew by itself: work, training, sections, old placements; pairs left out."""
        ground, weights = self.ground, self.ground.weights
        size = column.mask.bit_count()
        total = sum(
            ground.priority[j] + weights.idle * size * ground.duration[j][size] for j in column.jobs
        )
        skills = {self.sorts[self.of[j]].skill for j in column.jobs}
        total += weights.training * sum((column.mask & ground.goal[k]).bit_count() for k in skills)
        total -= weights.section * max(0, len({ground.section[j] for j in column.jobs}) - 1)
        for who, points in ground.blocks[column.b].wanted.get(column.leader, ()):
            total += points * (column.mask & who).bit_count()
        return total

    def trainees(self, column: CrewColumn) -> int:
        """People of a column who are below signed off in its supervised work."""
        found = 0
        for j in column.jobs:
            sort = self.sorts[self.of[j]]
            if sort.supervised:
                found |= sort.below
        return (found & column.mask).bit_count()


def lifters_kept(kept: list[int], lifters: int) -> int:
    """The number of lifters asked for, lowered to one that is told apart."""
    return max(n for n in kept if n <= lifters)


def _thinned(levels: list[int]) -> list[int]:
    """At most a few levels, always with the lowest."""
    if len(levels) <= MOST_LIFTS:
        return levels
    return [levels[i * len(levels) // MOST_LIFTS] for i in range(MOST_LIFTS)]
