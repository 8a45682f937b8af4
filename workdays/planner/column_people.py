"""The best people for a leader's crews at given prices: group by group, by state of the crew.

Exact in size, presence, language, fitness, level, guardians, parties, trainees, lifters and one
ratio of new people; pairs kept apart and further ratios are relaxed.
"""

from dataclasses import dataclass

import numpy as np

from workdays.planner.column_crews import BlockCrews
from workdays.planner.column_prices import NEVER, Floats, Prices
from workdays.planner.column_sorts import MOST_NEAR

NOBODY = -1e7


@dataclass(frozen=True, slots=True)
class Under:
    """A mode by its number, the supervisor (-1: none), and what the supervision costs a crew."""

    mode: int
    supervisor: int
    price: float


class PricedPeople:
    """The crews of one leader at given prices."""

    def __init__(self, block: BlockCrews, leader: int, prices: Prices) -> None:
        self.block, self.leader, self.prices = block, leader, prices
        self.led = block.led[leader]
        self.unders = [under for i in range(len(self.led.modes)) for under in self._unders(i)]
        self.values = self._values()
        self.stages = self._stages()

    def _unders(self, mode: int) -> list[Under]:
        """The supervisors who are the cheapest for some number of trainees; all, where few."""
        able = self.block.supervisors(self.led.modes[mode].sorts)
        if able == [-1]:
            return [Under(mode, -1, 0.0)]
        crew, each = self.prices.crews[self.block.b], self.prices.trainees[self.block.b]
        cheapest = {
            min(able, key=lambda m: crew[m] + trainees * each[m])
            for trainees in range(self.block.states.most + 1)
        }
        if len(able) <= MOST_NEAR:  # their sections have prices of their own
            cheapest = set(able)
        return [Under(mode, m, float(crew[m])) for m in sorted(cheapest)]

    def _values(self) -> Floats:
        """Per mode under a supervisor and option: what the option adds to a crew."""
        b, block = self.block.b, self.block
        modes = [under.mode for under in self.unders]
        people = self.led.points[modes] - self.prices.member[b, self.leader]
        for i, under in enumerate(self.unders):
            if under.supervisor >= 0:
                below = block.below(self.led.modes[under.mode].sorts)
                people[i, below] -= self.prices.trainees[b, under.supervisor]
        people[~self.led.able[modes]] = NOBODY
        values: Floats = people @ block.people.T - block.touches @ self.prices.party[b]
        return values

    def _stages(self) -> list[Floats]:
        """The best worth of each mode and state before any group and after each."""
        states = self.block.states
        now = np.full((len(self.unders), states.none + 1), NEVER)
        start = now[:, : states.none].reshape((len(self.unders), *states.shape))
        start[:, 0, states.most :, 0] = 0
        stages, first = [now], 0
        for group in self.block.groups:
            now = self._after(group.mask, stages[-1], range(first, first + len(group.options)))
            stages.append(now)
            first += len(group.options)
        return stages

    def _choices(self, group: int, options: range) -> list[int]:
        """The options of a group; the leader's group comes with the leader."""
        if not group >> self.leader & 1:
            return list(options)
        return [i for i in options if self.block.options[i] >> self.leader & 1]

    def _after(self, group: int, before: Floats, options: range) -> Floats:
        now, end = np.full_like(before, NEVER), self.block.states.none
        for i in self._choices(group, options):
            reached = before[:, self.block.steps[i]]
            reached += self.values[:, i, None]
            np.maximum(now[:, :end], reached, out=now[:, :end])
        return now

    def best(self) -> Floats:
        """Per mode under a supervisor, size and number who lift: the worth of the best crew."""
        states, modes = self.block.states, self.led.modes
        last = self.stages[-1][:, : states.none].reshape((len(self.unders), *states.shape))
        ruled = np.array([self.block.ruled(modes[u.mode].sorts) for u in self.unders], dtype=bool)
        return np.where(ruled[:, None, None], last[:, :, states.most], last[:, :, -1])

    def people_of(self, i: int, size: int, lifters: int) -> int:
        """The people behind an entry of the best, as bits."""
        mode = self.led.modes[self.unders[i].mode]
        ruled = self.block.ruled(mode.sorts)
        state = self.block.states.place(size, lifters, ruled=ruled)
        found, last = 0, len(self.block.options)
        for g in range(len(self.block.groups) - 1, -1, -1):
            group = self.block.groups[g]
            options = range(last - len(group.options), last)
            last = options.start
            steps = {o: int(self.block.steps[o][state]) for o in self._choices(group.mask, options)}
            best = max(steps, key=lambda o: self.stages[g][i, steps[o]] + self.values[i, o])
            found |= self.block.options[best]
            state = steps[best]
        return found
