"""An upper bound that no plan can pass, from pooled hours; holds at any size.

All jobs of a block share the hours of all who could do them: people, leaders, lifters,
supervisors, those below signed off, equipment. Whatever a plan does fits into these pools,
so the best use of the pools, jobs cut in pieces, is worth at least as much as any plan.
"""

from math import floor

from ortools.linear_solver import pywraplp

from workdays.planner.index import Ground, JobClass, ones

SLACK = 1e-6


def upper_bound(ground: Ground) -> int | None:
    """Points above an empty plan that no plan passes; None: the solver gave up."""
    if not ground.jobs or not ground.people:
        return 0
    pools = Pools(ground)
    return pools.solve()


Pool = tuple[tuple[object, ...], int, int]


class Pools:
    """The linear program: a share of each job per block and crew size."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.lp = pywraplp.Solver.CreateSolver("GLOP")
        self.share: dict[tuple[int, int, int], pywraplp.Variable] = {}
        self.rows: dict[tuple[object, ...], pywraplp.Constraint] = {}
        self.hours = [
            [max(0, end - start) for start, end in zip(b.arrive, b.leave, strict=True)]
            for b in ground.blocks
        ]
        self.once = [self.lp.Constraint(0, 1) for _ in ground.jobs]
        self._order()
        for b in range(len(ground.blocks)):
            self._block(b)

    def solve(self) -> int | None:
        """The best total of the pools and of everything that is counted apart."""
        self.lp.Objective().SetMaximization()
        if self.lp.Solve() != pywraplp.Solver.OPTIMAL:
            return None
        best: float = self.lp.Objective().Value()
        return floor(best + self._apart() + SLACK)

    def _apart(self) -> int:
        """Training, pairs and old placements at their most, whatever the work."""
        ground, total = self.ground, 0
        goals = 0
        for goal in ground.goal:
            goals |= goal
        for block in ground.blocks:
            total += ground.weights.training * (goals & block.there).bit_count()
            total += ground.weights.together * len(ground.pairs)
            for wanted in block.wanted.values():
                total += sum(worth * mask.bit_count() for mask, worth in wanted)
        return total

    def _order(self) -> None:
        """A job is done no more than those before it."""
        ground = self.ground
        self.follows: dict[int, list[tuple[pywraplp.Constraint, int]]] = {}
        for j, firsts in enumerate(ground.after):
            for first in firsts:
                if first >= 0 and first != j:
                    row = self.lp.Constraint(-self.lp.infinity(), 0)
                    self.follows.setdefault(j, []).append((row, 1))
                    self.follows.setdefault(first, []).append((row, -1))

    def _block(self, b: int) -> None:
        ground, block = self.ground, self.ground.blocks[b]
        for j, spans in enumerate(ground.spans[b]):
            asked = ground.classes[ground.job_class[j]]
            longest = max((end - start for start, end in spans), default=-1)
            if not asked.lead & block.leaders or j in ground.after[j]:
                continue
            for size in range(asked.fewest, asked.most + 1):
                if ground.duration[j][size] <= longest:
                    self._share(b, j, size, asked)

    def _share(self, b: int, j: int, size: int, asked: JobClass) -> None:
        ground, lasts = self.ground, self.ground.duration[j][size]
        share = self.lp.NumVar(0, 1, "")
        worth = ground.priority[j] + ground.weights.idle * size * lasts
        self.lp.Objective().SetCoefficient(share, worth)
        self.once[j].SetCoefficient(share, 1)
        for row, sign in self.follows.get(j, ()):
            row.SetCoefficient(share, row.GetCoefficient(share) + sign)
        for kit, count in ground.kit[j]:
            block = ground.blocks[b]
            room = ground.kit_there[kit] * (block.end - block.start)
            self._row((b, "kit", kit), room).SetCoefficient(share, count * lasts)
        for key, room, use in self._people(b, size, asked):
            self._row((b, *key), room).SetCoefficient(share, use * lasts)

    def _people(self, b: int, size: int, asked: JobClass) -> list[Pool]:
        """Each pool of people that a job of this class draws on: key, hours there, use."""
        ground, there = self.ground, self.ground.blocks[b].there
        leaders = ground.blocks[b].leaders
        found: list[Pool] = []
        for other in self._wider("fit", asked.fit):
            found.append((("fit", other), self._hours(b, other & there), size))
        for other in self._wider("lead", asked.lead):
            found.append((("lead", other), self._hours(b, other & leaders), 1))
        if asked.lifters:
            lifting = ground.lifting & asked.fit & there
            found.append((("lift", asked.fit), self._hours(b, lifting), asked.lifters))
        if asked.ratio >= 0:
            found.append(self._new(b, size, asked))
        if asked.supervised:
            found += self._supervised(b, size, asked)
        everybody = self._hours(b, there)
        return [*found, (("all",), everybody, size)]

    def _new(self, b: int, size: int, asked: JobClass) -> Pool:
        there = self.ground.blocks[b].there & asked.fit
        new = self._hours(b, there & asked.new)
        most = asked.ratio * self._hours(b, there & asked.competent)
        old = self._hours(b, there & ~asked.new)
        return (
            ("new", asked.fit, asked.new, asked.competent, asked.ratio),
            old + min(new, most),
            size,
        )

    def _supervised(self, b: int, size: int, asked: JobClass) -> list[Pool]:
        ratios, block = self.ground.facts.ratios, self.ground.blocks[b]
        masters = self._hours(b, asked.masters & block.leaders)
        below = self._hours(b, asked.below & asked.fit & block.there)
        able = self._hours(b, ~asked.below & asked.fit & block.there)
        taught = min(below, ratios.trainees_per_supervisor * masters)
        return [
            (("crews", asked.masters), ratios.crews_per_supervisor * masters, 1),
            (("taught", asked.fit, asked.below, asked.masters), able + taught, size),
        ]

    def _wider(self, what: str, mask: int) -> list[int]:
        """The sets of people, among those that classes ask for, which hold this one."""
        masks = {getattr(asked, what) for asked in self.ground.classes}
        return [other for other in sorted(masks) if mask & ~other == 0]

    def _hours(self, b: int, mask: int) -> int:
        hours = self.hours[b]
        return sum(hours[p] for p in ones(mask & ((1 << len(hours)) - 1)))

    def _row(self, key: tuple[object, ...], room: int) -> pywraplp.Constraint:
        if key not in self.rows:
            self.rows[key] = self.lp.Constraint(-self.lp.infinity(), room)
        return self.rows[key]
