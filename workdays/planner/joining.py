"""The best plan that can be put together from crews which several searches have met.

Each crew with its people and jobs is taken or not; people, jobs, equipment, supervisors and what
must be done before tie them together: a set packing, by CP-SAT. One worker, a fixed seed and
deterministic time: the same crews give the same answer.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable

from ortools.sat.python import cp_model

from workdays.planner.cp_sat import FOUND, solved, solver_of
from workdays.planner.crews_met import Key, Met
from workdays.planner.index import Ground, ones
from workdays.planner.tables import NOBODY

Choices = dict[tuple[int, int], list[int]]


def join(
    ground: Ground,
    met: dict[Key, Met],
    best: list[Key],
    work: float,
    *,
    seconds: float | None,
    ended: Callable[[], bool] | None,
) -> list[Met]:
    """Return the crews of the best plan made of those met; ``best``: of the best plan so far.

    `work`: units of deterministic time; `ended`: True: what is found so far is returned.
    """
    crews = list(met.values())
    model = Joining(ground, crews)
    model.add()
    known = set(best)
    for flag, key in zip(model.take, met, strict=True):
        model.cp.add_hint(flag, key in known)
    solver = solver_of(work, seconds)
    if solved(solver, model.cp, ended) not in FOUND:
        return [met[key] for key in best]
    return [one for flag, one in zip(model.take, crews, strict=True) if solver.value(flag)]


class Joining:
    """The model: `take[i]` says whether the i-th crew is in the plan."""

    def __init__(self, ground: Ground, crews: list[Met]) -> None:
        self.ground, self.crews = ground, crews
        self.cp = cp_model.CpModel()
        self.take = [self.cp.new_bool_var("") for _ in crews]
        self.doing: dict[int, list[int]] = defaultdict(list)
        self.led: Choices = defaultdict(list)
        self.holding: Choices = defaultdict(list)
        for i, crew in enumerate(crews):
            self.led[crew.b, crew.leader].append(i)
            for j in crew.jobs:
                self.doing[j].append(i)
            for p in ones(crew.mask):
                self.holding[crew.b, p].append(i)

    def add(self) -> None:
        """Add every rule that lies between crews, and ask for the most points."""
        for some in (*self.holding.values(), *self.doing.values()):
            self.cp.add_at_most_one(self.take[i] for i in some)
        for b in range(len(self.ground.blocks)):
            self._equipment(b)
            self._supervisors(b)
        for i, crew in enumerate(self.crews):
            self._after(i, crew)
            self._near_supervisor(i, crew)
        splits, changes = self._splits(), self._changes()
        weights = self.ground.weights
        points = [crew.gain for crew in self.crews]
        points += [-weights.split] * len(splits) + [-weights.change] * len(changes)
        every = [*self.take, *splits, *changes]
        self.cp.maximize(cp_model.LinearExpr.weighted_sum(every, points))

    def _sum(self, some: Iterable[int]) -> cp_model.LinearExprT:
        return cp_model.LinearExpr.sum([self.take[i] for i in some])

    def _weighted(self, some: list[int], counts: list[int]) -> cp_model.LinearExprT:
        return cp_model.LinearExpr.weighted_sum([self.take[i] for i in some], counts)

    def _equipment(self, b: int) -> None:
        here = [i for i, crew in enumerate(self.crews) if crew.b == b]
        for kit, there in zip(self.ground.kits, self.ground.kit_there, strict=True):
            holds = [self.crews[i].kit.get(kit, 0) for i in here]
            if any(holds):
                self.cp.add(self._weighted(here, holds) <= there)

    def _supervisors(self, b: int) -> None:
        """No supervisor has more crews or trainees than allowed."""
        under = defaultdict(list)
        for i, crew in enumerate(self.crews):
            if crew.b == b and crew.supervisor != NOBODY:
                under[crew.supervisor].append(i)
        ratios = self.ground.facts.ratios
        for some in under.values():
            trainees = [self.crews[i].trainees for i in some]
            self.cp.add(self._sum(some) <= ratios.crews_per_supervisor)
            self.cp.add(self._weighted(some, trainees) <= ratios.trainees_per_supervisor)

    def _near_supervisor(self, i: int, crew: Met) -> None:
        """Where another crew's leader supervises, that crew works in the same sections."""
        if crew.supervisor in (NOBODY, crew.leader):
            return
        ground = self.ground
        asked = {ground.section[j] for j in crew.jobs if self._supervised(j)}
        near = [
            other
            for other in self.led[crew.b, crew.supervisor]
            if asked <= {ground.section[j] for j in self.crews[other].jobs}
        ]
        self.cp.add(self.take[i] <= self._sum(near))

    def _supervised(self, j: int) -> bool:
        return self.ground.classes[self.ground.job_class[j]].supervised

    def _after(self, i: int, crew: Met) -> None:
        """A job comes after others in an earlier block, if not in the same crew."""
        for first in {first for j in crew.jobs for first in self.ground.after[j]}:
            if first not in crew.jobs:
                earlier = [d for d in self.doing[first] if self.crews[d].b < crew.b]
                self.cp.add(self.take[i] <= self._sum(earlier))

    def _splits(self) -> list[cp_model.IntVar]:
        """Per party and block: how many crews beyond the first it is spread over."""
        found = []
        for party in sorted({mask for mask in self.ground.partners if mask.bit_count() > 1}):
            for b in range(len(self.ground.blocks)):
                some = [i for i, met in enumerate(self.crews) if met.b == b and met.mask & party]
                beyond = self.cp.new_int_var(0, party.bit_count(), "")
                self.cp.add(self._sum(some) <= beyond + 1)
                found.append(beyond)
        return found

    def _changes(self) -> list[cp_model.IntVar]:
        """Per person and block: whether somebody else leads them in the next."""
        found = []
        for (b, p), then in self.holding.items():
            if now := self.holding.get((b + 1, p)):
                change = self.cp.new_bool_var("")
                for leader in {self.crews[i].leader for i in then}:
                    same = [i for i in then if self.crews[i].leader == leader]
                    others = [i for i in now if self.crews[i].leader != leader]
                    self.cp.add(self._sum([*same, *others]) <= change + 1)
                found.append(change)
        return found
