"""The rows of the master: what is scarce on a day, and how much of each a column takes.

Each person once per block, each job once, equipment and supervisors per block, jobs in order;
beside them the points lost where parties are split and leaders changed.
"""

from collections import defaultdict
from dataclasses import dataclass

from workdays.planner.column_prices import Floats, Row
from workdays.planner.column_sorts import MOST_NEAR, CrewColumn, Sorts
from workdays.planner.index import Ground, ones

Part = tuple[int, float]


@dataclass(frozen=True, slots=True)
class Extra:
    """A variable beside the columns: points, at most so many, and the rows it is in."""

    points: float
    most: float
    rows: tuple[Part, ...]


class Rows:
    """All rows by their key, each with its most, and the variables beside the columns."""

    def __init__(self, ground: Ground, sorts: Sorts) -> None:
        self.ground, self.sorts = ground, sorts
        self.number: dict[Row, int] = {}
        self.most: list[float] = []
        self.extras: list[Extra] = []
        self._scarce()
        self._supervision()
        self._order()
        if ground.weights.split > 0:
            self._parties()
        if ground.weights.change > 0:
            self._changes()

    def _add(self, name: str, *numbers: int, most: float) -> int:
        key = (name, numbers)
        self.number[key] = len(self.most)
        self.most.append(most)
        return self.number[key]

    def _scarce(self) -> None:
        ground = self.ground
        for j in range(len(ground.jobs)):
            self._add("job", j, most=1)
        for b, block in enumerate(ground.blocks):
            for p in ones(block.there):
                self._add("person", b, p, most=1)
            for k in self.sorts.kits:
                self._add("kit", b, k, most=ground.kit_there[k])

    def _supervision(self) -> None:
        """Supervised crews, their trainees and sections, against the crews of supervisors."""
        masters = 0
        for sort in self.sorts.sorts:
            masters |= sort.masters if sort.supervised else 0
        for b, block in enumerate(self.ground.blocks):
            here = ones(masters & block.leaders)
            for m in here:
                self._add("crews", b, m, most=0)
                self._add("trainees", b, m, most=0)
                for section in range(len(self.ground.sections) if len(here) <= MOST_NEAR else 0):
                    self._add("near", b, m, section, most=0)

    def _order(self) -> None:
        """By the end of each block a job is done no more than the one before it."""
        for j, firsts in enumerate(self.ground.after):
            for first in sorted({f for f in firsts if f >= 0 and f != j}):
                for b in range(len(self.ground.blocks)):
                    self._add("order", b, j, first, most=0)

    def _parties(self) -> None:
        ground = self.ground
        for b, block in enumerate(ground.blocks):
            for g in range(ground.parties):
                people = sum(1 for p in ones(block.there) if ground.party[p] == g)
                if people > 1:
                    row = self._add("party", b, g, most=1)
                    self.extras.append(Extra(-ground.weights.split, people, ((row, -1),)))

    def _changes(self) -> None:
        """Who works in two blocks changes the leader, but for the part that stays with one."""
        ground, blocks = self.ground, self.ground.blocks
        for b in range(1, len(blocks)):
            leaders = ones(blocks[b - 1].leaders & blocks[b].leaders)
            for p in ones(blocks[b - 1].there & blocks[b].there):
                both = self._add("both", b, p, most=1)
                self.extras.append(Extra(-ground.weights.change, 1, ((both, -1),)))
                for leader in leaders:
                    if self._with(b - 1, leader, p) and self._with(b, leader, p):
                        rows = [self._add("stays", b, p, leader, i, most=0) for i in (0, 1)]
                        parts = ((both, -1.0), (rows[0], 1.0), (rows[1], 1.0))
                        self.extras.append(Extra(0, 1, parts))

    def _with(self, b: int, leader: int, p: int) -> bool:
        mates = self.ground.blocks[b].mates[leader] | 1 << leader
        return bool(mates >> p & 1)

    def of(self, column: CrewColumn) -> list[Part]:
        """The rows that a column is in, with how much of each it takes."""
        found: dict[Row, float] = defaultdict(float)
        b = column.b
        for p in ones(column.mask):
            found["person", (b, p)] = 1
            for later, earlier in ((b, 1), (b + 1, 0)):
                found["both", (later, p)] = 1
                found["stays", (later, p, column.leader, earlier)] = -1
            found["party", (b, self.ground.party[p])] = 1
        self._work(column, found)
        self._supervised(column, found)
        return [(self.number[key], n) for key, n in found.items() if n and key in self.number]

    def _work(self, column: CrewColumn, found: dict[Row, float]) -> None:
        ground, b = self.ground, column.b
        for j in column.jobs:
            found["job", (j,)] = 1
            for k, n in ground.kit[j]:
                found["kit", (b, k)] = max(found["kit", (b, k)], n)
            for later in range(b, len(ground.blocks)):
                for first in set(ground.after[j]):
                    found["order", (later, j, first)] += 1
                for after in set(ground.later[j]):
                    found["order", (later, after, j)] -= 1

    def _supervised(self, column: CrewColumn, found: dict[Row, float]) -> None:
        ground, ratios, b = self.ground, self.ground.facts.ratios, column.b
        if column.supervisor >= 0:
            found["crews", (b, column.supervisor)] += 1
            found["trainees", (b, column.supervisor)] += self.sorts.trainees(column)
            for section in {ground.section[j] for j in column.jobs if self.sorts.supervised(j)}:
                if column.supervisor != column.leader:
                    found["near", (b, column.supervisor, section)] += 1
        others = ratios.crews_per_supervisor - (column.supervisor == column.leader)
        for section in {ground.section[j] for j in column.jobs}:
            found["near", (b, column.leader, section)] -= others
        found["crews", (b, column.leader)] -= ratios.crews_per_supervisor
        found["trainees", (b, column.leader)] -= ratios.trainees_per_supervisor

    def fixed(self, duals: Floats) -> float:
        """What the bound at these duals is before any column."""
        total = float(sum(most * dual for most, dual in zip(self.most, duals, strict=True)))
        for extra in self.extras:
            cost = sum(factor * float(duals[row]) for row, factor in extra.rows)
            total += max(0.0, extra.points - cost) * extra.most
        return total
