"""The best work of a crew at given prices: a knapsack over quarter hours, for each size of crew.

For each size, each holding (equipment, lifters) and each set of sorts that the work has, the
table says what the best jobs in so much time are worth. Sections beyond the first cost their
points. One deadline inside the block is kept to (work that must be over by then shares the time
until then); other hours are relaxed to "short enough for its longest stretch", and the order of
jobs inside a crew is free.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from workdays.planner.column_prices import BANNED, NEVER, Floats
from workdays.planner.column_sorts import Sorts
from workdays.planner.index import Ground

Place = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Task:
    """A job for one size of crew, and how much of its time falls under the deadline."""

    job: int
    lasts: int
    early: int
    sort: int
    points: int


@dataclass(frozen=True, slots=True)
class Work:
    """What crews of one size could do: jobs by section, and the holdings told apart."""

    size: int
    sections: tuple[tuple[Task, ...], ...]
    holdings: NDArray[np.int64]
    early: int


class BlockWork:
    """What could be done in one block, and when the deadline in it is."""

    def __init__(self, ground: Ground, sorts: Sorts, b: int) -> None:
        self.ground, self.sorts, self.b = ground, sorts, b
        block = ground.blocks[b]
        self.start = block.start
        self.length = max(0, block.end - block.start)
        self.jobs = [j for j in range(len(ground.jobs)) if self._could_be(j)]
        self.last = {j: max(end for _, end in ground.spans[b][j]) for j in self.jobs}
        self.deadline = self._deadline()
        self.allowed = {j: np.array([sorts.holds(h, j) for h in sorts.holdings]) for j in self.jobs}
        sizes = range(max(1, ground.fewest), ground.most + 1)
        self.by_size = [work for work in map(self._work, sizes) if work.sections]

    def _could_be(self, j: int) -> bool:
        ground = self.ground
        asked = ground.classes[ground.job_class[j]]
        enough = all(n <= ground.kit_there[k] for k, n in ground.kit[j])
        able = asked.lead & ground.blocks[self.b].leaders
        return bool(ground.spans[self.b][j]) and enough and bool(able) and j not in ground.after[j]

    def _deadline(self) -> int:
        """The hour inside the block by which most of its limited work must be over."""
        end = self.ground.blocks[self.b].end
        worth: dict[int, int] = {}
        for j in self.jobs:
            if self.last[j] < end:
                worth[self.last[j]] = worth.get(self.last[j], 0) + self.ground.priority[j]
        return max(worth, key=lambda hour: (worth[hour], -hour), default=end)

    def _work(self, size: int) -> Work:
        found: dict[int, list[Task]] = {}
        ground = self.ground
        for j in self.jobs:
            asked, lasts = ground.classes[ground.job_class[j]], ground.duration[j][size]
            longest = max(end - start for start, end in ground.spans[self.b][j])
            if asked.fewest <= size <= asked.most and lasts <= longest:
                early = lasts if self.last[j] <= self.deadline < self.start + self.length else 0
                points = ground.priority[j] + ground.weights.idle * size * lasts
                task = Task(j, lasts, early, self.sorts.of[j], points)
                # Supervised work first: what opens a section with it pays for it, once.
                section = found.setdefault(ground.section[j], [])
                section.insert(0, task) if self.sorts.supervised(j) else section.append(task)
        tasks = [task for section in found.values() for task in section]
        early = self.deadline - self.start if any(task.early for task in tasks) else 0
        sections = tuple(tuple(section) for section in found.values())
        return Work(size, sections, self._holdings(tasks), early)

    def _holdings(self, tasks: list[Task]) -> NDArray[np.int64]:
        """The least holding for each set of jobs that one allows."""
        kept: dict[tuple[bool, ...], int] = {}
        for h in range(len(self.sorts.holdings)):
            kept.setdefault(tuple(bool(self.allowed[task.job][h]) for task in tasks), h)
        return np.array(sorted(kept.values()), dtype=np.int64)

    def early_room(self, work: Work, lo: int, hi: int) -> int:
        """Quarter hours before the deadline in a stretch of the block."""
        return max(0, min(self.deadline, hi) - lo) if work.early else 0


@dataclass(frozen=True, slots=True)
class Terms:
    """On what terms a leader works: jobs that are banned; by section, the fee for any work in
    it (less than nothing: a reward), and a further one for supervised work.
    """

    banned: tuple[int, ...]
    fees: tuple[float, ...]
    further: tuple[float, ...]


class PricedWork:
    """The tables of one block at given prices of its jobs, on some terms."""

    def __init__(self, block: BlockWork, prices: Floats, terms: Terms) -> None:
        self.block, self.terms = block, terms
        self.prices = prices.copy()
        self.prices[list(terms.banned)] = BANNED
        self._kept: dict[tuple[int, int], list[Floats]] = {}

    def _fee(self, task: Task) -> float:
        """What it costs to open a section with a task."""
        section = self.block.ground.section[task.job]
        further = self.terms.further[section] if self.block.sorts.supervised(task.job) else 0.0
        return self.terms.fees[section] + further

    def table(self, work: Work) -> Floats:
        """The worth by holding, time before the deadline, time in all and set of sorts."""
        last = self._stages(work, work.holdings, keep=False)[-1]
        return np.maximum.accumulate(np.maximum.accumulate(last, axis=1), axis=2)

    def _worth(self, task: Task) -> float:
        return task.points - float(self.prices[task.job])

    def _stages(self, work: Work, holdings: NDArray[np.int64], *, keep: bool) -> list[Floats]:
        """The table before any job; where kept, after each job and each section; the last."""
        count = 1 << len(self.block.sorts.sorts)
        done = np.full((len(holdings), work.early + 1, self.block.length + 1, count), NEVER)
        done[:, 0, 0, 0] = self.block.ground.weights.section
        stages = [done]
        for section in work.sections:
            inside = np.full_like(done, NEVER)
            for task in section:
                opened = done - self._fee(task)
                inside = inside.copy() if keep else inside
                self._add(task, inside, opened, self.block.allowed[task.job][holdings])
                stages += [inside] if keep else []
            done = np.maximum(done, inside)
            stages.append(done)
        return stages

    def _add(self, task: Task, inside: Floats, opened: Floats, allowed: NDArray[np.bool_]) -> None:
        """Add a task to what is done inside a section, or open the section with it."""
        before = np.maximum(inside, opened)
        before = before[:, : before.shape[1] - task.early, : before.shape[2] - task.lasts]
        best = before.reshape((*before.shape[:3], -1, 2, 1 << task.sort)).max(axis=4)
        best += np.where(allowed, self._worth(task), NEVER)[:, None, None, None, None]
        halves = inside.reshape((*inside.shape[:3], -1, 2, 1 << task.sort))
        into = halves[:, task.early :, task.lasts :, :, 1, :]
        np.maximum(into, best, out=into)

    def jobs_of(self, work: Work, holding: int, place: Place) -> tuple[int, ...]:
        """The jobs behind an entry of the table: time before the deadline, time in all, sorts."""
        key = (work.size, holding)
        if key not in self._kept:
            self._kept[key] = self._stages(work, np.array([holding]), keep=True)
        stages = self._kept[key]
        early, room, mask = place
        last = stages[-1][0, : early + 1, : room + 1, mask]
        e, t = np.unravel_index(int(np.argmax(last)), last.shape)
        return self._traced(work.sections, stages, (int(e), int(t), mask))

    def _traced(
        self, sections: tuple[tuple[Task, ...], ...], stages: list[Floats], place: Place
    ) -> tuple[int, ...]:
        """Walk back through the stages, section by section."""
        found: list[int] = []
        end = len(stages) - 1
        for section in reversed(sections):
            start = end - len(section) - 1
            if stages[start][(0, *place)] < stages[end - 1][(0, *place)]:
                place = self._inside(section, stages[start:end], place, found)
            end = start
        return tuple(sorted(found))

    def _inside(
        self, section: tuple[Task, ...], stages: list[Floats], place: Place, found: list[int]
    ) -> Place:
        """Walk back to where a section was opened; what was done in it is added to `found`."""
        for i in range(len(section) - 1, -1, -1):
            opened = stages[0] - self._fee(section[i])
            under = stages[i] if i else np.full_like(opened, NEVER)
            if under[(0, *place)] >= stages[i + 1][(0, *place)]:
                continue
            found.append(section[i].job)
            place, first = _back(section[i], place, under, opened)
            if first:
                break
        return place


def _back(task: Task, place: Place, under: Floats, opened: Floats) -> tuple[Place, bool]:
    """Where a task was added, and whether it was the first of its section."""
    early, room, mask = place[0] - task.early, place[1] - task.lasts, place[2]
    places = [(early, room, mask), (early, room, mask & ~(1 << task.sort))]
    options = [(float(opened[(0, *p)]), True, p) for p in places]
    options += [(float(under[(0, *p)]), False, p) for p in places]
    _, first, best = max(options)
    return best, first
