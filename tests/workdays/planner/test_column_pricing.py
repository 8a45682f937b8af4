"""The pricing of columns against trying every crew with every set of jobs."""

from itertools import combinations

import numpy as np
import pytest

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day
from workdays.planner.column_master import Master
from workdays.planner.column_pricing import Priced, Pricing
from workdays.planner.column_sorts import CrewColumn, Sorts
from workdays.planner.columns import Column, allows, columns
from workdays.planner.index import Ground


def never() -> bool:
    return False


class World:
    """A small random day at random prices."""

    def __init__(self, number: int, *, people: int, jobs: int) -> None:
        self.ground = Ground(random_day(number, people=people, jobs=jobs))
        self.sorts = Sorts(self.ground)
        self.master = Master(self.ground, self.sorts)
        rng = np.random.default_rng(number)
        self.duals = rng.integers(0, 9, len(self.master.rows.most)).astype(float)

    def priced(self, b: int) -> tuple[float, list[Priced]]:
        pricing = Pricing(self.ground, self.sorts, b)
        found = pricing.priced(self.master.prices(self.duals), never)
        assert found is not None
        return found

    def gain(self, column: CrewColumn) -> float:
        """What a column is worth beyond the duals of its rows."""
        cost = sum(n * self.duals[row] for row, n in self.master.rows.of(column))
        return float(self.sorts.worth(column) - cost)

    def tried(self, b: int) -> dict[int, float]:
        """Per leader the best gain of all crews with all sets of jobs that fit their time."""
        best: dict[int, float] = {}
        for people in columns(self.ground) or []:
            if people.b == b:
                for column in self.with_work(people):
                    gain = self.gain(column)
                    best[people.leader] = max(best.get(people.leader, 0.0), gain)
        return best

    def with_work(self, people: Column) -> list[CrewColumn]:
        able = [j for j in range(len(self.ground.jobs)) if self.could(people, j)]
        found = []
        for count in range(1, len(able) + 1):
            for jobs in combinations(able, count):
                if self.fits(people, jobs):
                    for master in self.supervisors(people.b, jobs):
                        found.append(CrewColumn(people.b, people.leader, people.mask, jobs, master))
        return found

    def could(self, people: Column, j: int) -> bool:
        there = all(n <= self.ground.kit_there[k] for k, n in self.ground.kit[j])
        return there and j not in self.ground.after[j] and allows(self.ground, people, j)

    def fits(self, people: Column, jobs: tuple[int, ...]) -> bool:
        """Whether what must be over by an hour fits before it, for each hour."""
        ground = self.ground
        last = {j: max(end for _, end in ground.spans[people.b][j]) for j in jobs}
        return all(
            sum(ground.duration[j][people.size] for j in jobs if last[j] <= hour)
            <= min(hour, people.hi) - people.lo
            for hour in last.values()
        )

    def supervisors(self, b: int, jobs: tuple[int, ...]) -> list[int]:
        asked = [self.ground.classes[self.ground.job_class[j]] for j in jobs]
        able = [one.masters for one in asked if one.supervised]
        leaders = self.ground.blocks[b].leaders
        people = range(len(self.ground.people))
        return (
            [p for p in people if leaders >> p & 1 and all(m >> p & 1 for m in able)]
            if able
            else [-1]
        )


@pytest.mark.parametrize("number", range(8))
def test_pricing_finds_at_least_the_best_of_all_crews_and_says_its_worth(number: int) -> None:
    world = World(number, people=6, jobs=7)
    for b in range(len(world.ground.blocks)):
        total, found = world.priced(b)
        for one in found:
            assert world.gain(one.column) == pytest.approx(one.gain)
        best = dict.fromkeys(range(6), 0.0)
        for one in found:
            best[one.column.leader] = max(best[one.column.leader], one.gain)
        assert total == pytest.approx(sum(best.values()))
        for leader, gain in world.tried(b).items():
            assert best[leader] >= gain - 1e-6


def test_a_master_takes_the_better_of_two_crews_that_want_the_same_people() -> None:
    ground = Ground(day())
    sorts = Sorts(ground)
    master = Master(ground, sorts)
    ben, ana = ground.number["ben"], ground.number["ana"]
    raking = next(j for j, one in enumerate(ground.jobs) if one.kind == "rake")
    few = CrewColumn(0, ben, 1 << ben | 1 << ana, (raking,))
    many = CrewColumn(0, ana, 1 << ben | 1 << ana | 1 << ground.number["dora"], (raking,))
    assert master.add(few)
    assert not master.add(few)
    assert master.add(many)
    found = master.solve()
    assert found is not None
    mixture, duals = found
    assert mixture == pytest.approx(max(sorts.worth(few), sorts.worth(many)))
    assert master.rows.fixed(duals) == pytest.approx(mixture)
