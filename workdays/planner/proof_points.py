"""The points as the objective of the proof, on the scale of the search's totals.

The walk between stones is left out: its bound holds, and the search goes on below it.
"""

from ortools.sat.python import cp_model

from workdays.planner.index import ones
from workdays.planner.proof_model import Key, Model


class Points:
    """Adds the objective to a model."""

    def __init__(self, model: Model) -> None:
        self.model, self.ground, self.cp = model, model.ground, model.cp
        self.terms: list[cp_model.LinearExprT] = []

    def add(self) -> None:
        """Add every term and ask for the most."""
        for key in self.model.of:
            self._work(key)
            self._people(key)
            self._sections(key)
            self._training(key)
            self._fairness(key)
        for b in range(len(self.ground.blocks)):
            self._splits(b)
            if b:
                self._changes(b)
        self.cp.maximize(sum(self.terms))

    def _work(self, key: Key) -> None:
        ground, idle = self.ground, self.ground.weights.idle
        for (j, size), flag in self.model.sized[key].items():
            self.terms.append((ground.priority[j] + idle * size * ground.duration[j][size]) * flag)

    def _people(self, key: Key) -> None:
        """Pairs, pins and placements of an older plan depend on who is in the crew only."""
        ground, model = self.ground, self.model
        wanted = ground.blocks[key[0]].wanted.get(key[1], ())
        for i in model.of[key]:
            mask = model.columns[i].mask
            worth = sum(points * (mask & who).bit_count() for who, points in wanted)
            worth += ground.weights.together * sum(mask & p == p for p in ground.pairs)
            if worth:
                self.terms.append(worth * model.pick[i])

    def _sections(self, key: Key) -> None:
        model, ground = self.model, self.ground
        does = model.does[key]
        flags = []
        for section in sorted({ground.section[j] for j in does}):
            flag = self.cp.new_bool_var("")
            for j, doing in does.items():
                if ground.section[j] == section:
                    self.cp.add(doing <= flag)
            flags.append(flag)
        if ground.weights.section and len(flags) > 1:
            more = self.cp.new_int_var(0, len(flags), "")
            self.cp.add(more >= sum(flags) - 1)
            self.terms.append(-ground.weights.section * more)

    def _training(self, key: Key) -> None:
        model, ground = self.model, self.ground
        for skill, goal in enumerate(ground.goal):
            lessons = [
                flag
                for j, flag in model.does[key].items()
                if ground.classes[ground.job_class[j]].skill == skill
            ]
            for p in ones(goal):
                here = [model.pick[i] for i in model.of[key] if model.columns[i].mask >> p & 1]
                if lessons and here:
                    learns = self.cp.new_bool_var("")
                    self.cp.add(learns <= sum(lessons))
                    self.cp.add(learns <= sum(here))
                    self.terms.append(ground.weights.training * learns)

    def _fairness(self, key: Key) -> None:
        """Somebody of the crew has done enough of a kind of work that it does."""
        model, ground = self.model, self.ground
        for p, person in enumerate(ground.people):
            jobs = [f for j, f in model.does[key].items() if ground.jobs[j].kind in person.enough]
            here = [model.pick[i] for i in model.of[key] if model.columns[i].mask >> p & 1]
            if ground.weights.fairness and jobs and here:
                wearied = self.cp.new_bool_var("")
                for flag in jobs:
                    self.cp.add(wearied + 1 >= flag + sum(here))
                self.terms.append(-ground.weights.fairness * wearied)

    def _splits(self, b: int) -> None:
        model, ground = self.model, self.ground
        for party in sorted({mask for mask in ground.partners if mask.bit_count() > 1}):
            crews = sum(model.member(key, party) for key in model.keys(b))
            beyond = self.cp.new_int_var(0, party.bit_count(), "")
            self.cp.add(beyond >= crews - 1)
            self.terms.append(-ground.weights.split * beyond)

    def _changes(self, b: int) -> None:
        model = self.model
        leaders = sorted({key[1] for key in model.of})
        for p in range(len(self.ground.people)):
            change = self.cp.new_bool_var("")
            for leader in leaders:
                then = model.member((b - 1, leader), 1 << p)
                now = sum(model.member((b, other), 1 << p) for other in leaders if other != leader)
                self.cp.add(change + 1 >= cp_model.LinearExpr.sum([then, now]))
            self.terms.append(-self.ground.weights.change * change)
