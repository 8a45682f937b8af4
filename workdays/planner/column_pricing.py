"""The best columns of a block at given prices, and how much the best of each leader is worth."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from workdays.planner.column_crews import BlockCrews
from workdays.planner.column_people import PricedPeople
from workdays.planner.column_prices import BANNED, Floats, Prices
from workdays.planner.column_sorts import CrewColumn, Sorts
from workdays.planner.column_work import BlockWork, PricedWork, Work
from workdays.planner.index import Ground

LEAST = 1e-6
EACH = 3


@dataclass(frozen=True, slots=True)
class Priced:
    """A column, and what it is worth beyond its prices."""

    column: CrewColumn
    gain: float


@dataclass(frozen=True, slots=True)
class Found:
    """Where the best of one size stands: its gain, holding and mode under a supervisor."""

    gain: float
    size: int
    holding: int
    under: int


@dataclass(frozen=True, slots=True)
class Tables:
    """Work at its prices, and the worth of each size of crew, what it holds paid for."""

    work: PricedWork
    of: dict[int, Floats]


class Pricing:
    """Everything about one block that prices do not change."""

    def __init__(self, ground: Ground, sorts: Sorts, b: int) -> None:
        self.ground, self.sorts, self.b = ground, sorts, b
        self.work = BlockWork(ground, sorts, b)
        here = sum(1 << s for s in {sorts.of[j] for j in self.work.jobs})
        masks = [mask for mask in range(1, 1 << len(sorts.sorts)) if not mask & ~here]
        self.crews = BlockCrews(ground, sorts, b, masks)

    def priced(
        self, prices: Prices, out_of_time: Callable[[], bool]
    ) -> tuple[float, list[Priced]] | None:
        """The sum over leaders of their best gain, and a few columns of each; None: no time."""
        works: dict[tuple[int, ...], Tables] = {}
        total, columns = 0.0, []
        for leader in self.crews.led:
            if out_of_time():
                return None
            banned = tuple(prices.banned.get((self.b, leader), ()))
            if banned not in works:
                works[banned] = self._tables(prices, banned)
            people = PricedPeople(self.crews, leader, prices)
            found = self._of_leader(people, works[banned])
            total += max((one.gain for one in found), default=0.0)
            best = sorted(found, key=lambda one: -one.gain)[:EACH]
            columns += [Priced(self._column(one, people, works[banned]), one.gain) for one in best]
        return total, columns

    def _tables(self, prices: Prices, banned: tuple[int, ...]) -> Tables:
        """The worth of work for leaders who may not do some jobs."""
        costs = prices.job[self.b].copy()
        costs[list(banned)] = BANNED
        work = PricedWork(self.work, costs)
        sizes = self.work.by_size
        return Tables(
            work, {size.size: work.table(size) - self._held(size, prices) for size in sizes}
        )

    def _held(self, work: Work, prices: Prices) -> Floats:
        """The price of each holding."""
        kits, price = self.sorts.kits, prices.kit[self.b]
        kept = [self.sorts.holdings[int(h)] for h in work.holdings]
        cost = [sum(price[k] * n for k, n in zip(kits, h.kit, strict=True)) for h in kept]
        return np.array(cost)[:, None, None, None]

    def _of_leader(self, people: PricedPeople, tables: Tables) -> list[Found]:
        """The best of each size that is worth more than its prices."""
        modes = [people.led.modes[under.mode] for under in people.unders]
        room = np.array([mode.hi - mode.lo for mode in modes])
        masks = np.array([mode.sorts for mode in modes])
        reward = self._reward(people)
        best, found = people.best(), []
        for work in self.work.by_size:
            early = np.array([self.work.early_room(work, mode.lo, mode.hi) for mode in modes])
            lifters = [self.sorts.holdings[int(h)].lifters for h in work.holdings]
            worth = tables.of[work.size][:, early, room, masks]
            worth += best[:, work.size, lifters].T + reward
            h, i = (int(x) for x in np.unravel_index(int(worth.argmax()), worth.shape))
            if worth[h, i] > LEAST:
                found.append(Found(float(worth[h, i]), work.size, int(work.holdings[h]), i))
        return found

    def _reward(self, people: PricedPeople) -> Floats:
        """What leading gives where the leader supervises, less what supervision costs."""
        cost = np.array([under.price for under in people.unders])
        reward: Floats = people.prices.leads[self.b, people.leader] - cost
        return reward

    def _column(self, found: Found, people: PricedPeople, tables: Tables) -> CrewColumn:
        under = people.unders[found.under]
        mode = people.led.modes[under.mode]
        work = next(work for work in self.work.by_size if work.size == found.size)
        lifters = self.sorts.holdings[found.holding].lifters
        place = (self.work.early_room(work, mode.lo, mode.hi), mode.hi - mode.lo, mode.sorts)
        return CrewColumn(
            self.b,
            people.leader,
            people.people_of(found.under, found.size, lifters),
            tables.work.jobs_of(work, found.holding, place),
            under.supervisor,
        )
