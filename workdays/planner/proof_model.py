"""The variables of the proof: people of each crew, jobs of each crew and size, times."""

from collections import defaultdict

from ortools.sat.python import cp_model

from workdays.planner.columns import Column, allows
from workdays.planner.index import Ground, ones
from workdays.planner.search import Team
from workdays.rules.facts import Crew, Plan, PlannedJob

Key = tuple[int, int]
Flag = cp_model.IntVar


class Model:
    """`pick[i]`: column i is a crew. `does[b, leader][j]`: that crew does job j."""

    def __init__(self, ground: Ground, found: list[Column]) -> None:
        self.ground, self.columns = ground, found
        self.cp = cp_model.CpModel()
        self.pick = [self.cp.new_bool_var("") for _ in found]
        self.of: dict[Key, list[int]] = defaultdict(list)
        for i, column in enumerate(found):
            self.of[column.b, column.leader].append(i)
        self.does: dict[Key, dict[int, Flag]] = {}
        self.sized: dict[Key, dict[tuple[int, int], Flag]] = {}
        self.under: dict[Key, dict[int, Flag]] = defaultdict(dict)
        self.start: dict[tuple[int, int, int], Flag] = {}
        for key, mine in self.of.items():
            self._jobs(key, mine)

    def _jobs(self, key: Key, mine: list[int]) -> None:
        """Which jobs a crew does, at which size, tied to who is in it."""
        cp, does, sized = self.cp, {}, {}
        for j in range(len(self.ground.jobs)):
            by_size = defaultdict(list)
            for i in mine:
                if allows(self.ground, self.columns[i], j):
                    by_size[self.columns[i].size].append(self.pick[i])
            if not by_size:
                continue
            for size, picks in by_size.items():
                sized[j, size] = cp.new_bool_var("")
                cp.add(sized[j, size] <= sum(picks))
            does[j] = cp.new_bool_var("")
            cp.add(does[j] == sum(sized[j, size] for size in by_size))
        self.does[key], self.sized[key] = does, sized

    def led(self, key: Key) -> cp_model.LinearExprT:
        """1 where the crew exists."""
        return sum(self.pick[i] for i in self.of.get(key, ()))

    def member(self, key: Key, mask: int) -> cp_model.LinearExprT:
        """1 where the crew holds anybody of a set of people."""
        return sum(self.pick[i] for i in self.of.get(key, ()) if self.columns[i].mask & mask)

    def keys(self, b: int) -> list[Key]:
        """The crews that a block could have."""
        return [key for key in self.of if key[0] == b]

    def supervised(self, j: int) -> bool:
        """Whether a job needs a supervisor."""
        return self.ground.classes[self.ground.job_class[j]].supervised

    def hint(self, teams: list[Team]) -> None:
        """Start from a plan that is already known."""
        known = {(team.b, team.leader, team.mask) for team in teams}
        for i, column in enumerate(self.columns):
            chosen = (column.b, column.leader, column.mask) in known
            self.cp.add_hint(self.pick[i], chosen)
        doing = {(team.b, team.leader): set(team.jobs) for team in teams}
        for key, does in self.does.items():
            for j, flag in does.items():
                self.cp.add_hint(flag, j in doing.get(key, ()))

    def plan(self, solver: cp_model.CpSolver) -> Plan:
        """The plan that the solver found."""
        chosen = [c for i, c in enumerate(self.columns) if solver.value(self.pick[i])]
        return Plan(tuple(self._crew(solver, column) for column in chosen))

    def _crew(self, solver: cp_model.CpSolver, column: Column) -> Crew:
        ground, key = self.ground, (column.b, column.leader)
        people = ground.people
        others = ones(column.mask & ~(1 << column.leader))
        tasks = self._times(solver, column)
        needs = any(self.supervised(j) for j, flag in self.does[key].items() if solver.value(flag))
        masters = [m for m, flag in self.under[key].items() if needs and solver.value(flag)]
        return Crew(
            block=column.b,
            leader=people[column.leader].id,
            members=(people[column.leader].id, *(people[p].id for p in others)),
            jobs=tuple(sorted(tasks, key=lambda task: (task.start, task.end))),
            supervisor=people[masters[0]].id if masters else None,
        )

    def _times(self, solver: cp_model.CpSolver, column: Column) -> list[PlannedJob]:
        """Times as the solver set them; where it had none to set, earliest deadline first."""
        key, now, found = (column.b, column.leader), column.lo, []
        jobs = [j for j, flag in self.does[key].items() if solver.value(flag)]
        for j in self.in_order(column.b, jobs):
            lasts = self.ground.duration[j][column.size]
            timed = self.start.get((*key, j))
            first = self.ground.spans[column.b][j][0][0]
            begin = max(now, first) if timed is None else solver.value(timed)
            found.append(PlannedJob(self.ground.jobs[j].id, begin, begin + lasts))
            now = begin + lasts
        return found

    def in_order(self, b: int, jobs: list[int]) -> list[int]:
        """Jobs by deadline, then by their first hour, those that come before others first."""
        spans = self.ground.spans[b]
        left = sorted(jobs, key=lambda j: (spans[j][-1][1], spans[j][0][0]))
        found: list[int] = []
        while left:
            ready = [j for j in left if not set(self.ground.after[j]) & set(left)]
            found.append(ready[0] if ready else left[0])
            left.remove(found[-1])
        return found
