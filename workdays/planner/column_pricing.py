"""The best columns of a block at given prices, and how much the best of each leader is worth."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from workdays.planner.column_crews import BlockCrews, Mode
from workdays.planner.column_people import PricedPeople
from workdays.planner.column_prices import Floats, Prices
from workdays.planner.column_sorts import CrewColumn, Sorts
from workdays.planner.column_work import BlockWork, PricedWork, Terms, Work
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
        tables = Tables(self, prices)
        total, columns = 0.0, []
        for leader in self.crews.led:
            if out_of_time():
                return None
            people = PricedPeople(self.crews, leader, prices)
            found = self._of_leader(people, tables)
            found.sort(key=lambda one: -one.gain)
            total += found[0].gain if found else 0.0
            columns += [Priced(self._column(one, people, tables), one.gain) for one in found[:EACH]]
        return total, columns

    def _of_leader(self, people: PricedPeople, tables: "Tables") -> list[Found]:
        """The best of each size, with each supervisor, that is worth more than its prices."""
        best, unders, found = people.best(), people.unders, []
        for supervisor in {under.supervisor for under in unders}:
            chosen = [i for i, under in enumerate(unders) if under.supervisor == supervisor]
            modes = [people.led.modes[unders[i].mode] for i in chosen]
            terms = tables.terms(people.leader, supervisor)
            reward = people.prices.leads[self.b, people.leader] - unders[chosen[0]].price
            for work in self.work.by_size:
                worth = tables.worth(terms, work, modes) + reward
                worth += best[chosen, work.size][:, self.lifters(work)].T
                h, i = (int(x) for x in np.unravel_index(int(worth.argmax()), worth.shape))
                if worth[h, i] > LEAST:
                    gain, holding = float(worth[h, i]), int(work.holdings[h])
                    found.append(Found(gain, work.size, holding, chosen[i]))
        return found

    def lifters(self, work: Work) -> list[int]:
        """Of each holding of a size, how many who lift."""
        return [self.sorts.holdings[int(h)].lifters for h in work.holdings]

    def _column(self, found: Found, people: PricedPeople, tables: "Tables") -> CrewColumn:
        under = people.unders[found.under]
        mode = people.led.modes[under.mode]
        work = next(work for work in self.work.by_size if work.size == found.size)
        lifters = self.sorts.holdings[found.holding].lifters
        place = (self.work.early_room(work, mode.lo, mode.hi), mode.hi - mode.lo, mode.sorts)
        priced = tables.priced(tables.terms(people.leader, under.supervisor))
        return CrewColumn(
            self.b,
            people.leader,
            people.people_of(found.under, found.size, lifters),
            priced.jobs_of(work, found.holding, place),
            under.supervisor,
        )


class Tables:
    """The tables of work of a block at given prices, made when they are first asked for."""

    def __init__(self, pricing: Pricing, prices: Prices) -> None:
        self.pricing, self.prices, self.b = pricing, prices, pricing.b
        self.ground = pricing.ground
        self._work: dict[Terms, PricedWork] = {}
        self._tables: dict[tuple[Terms, int], Floats] = {}

    def terms(self, leader: int, supervisor: int) -> Terms:
        """On what terms a leader works under a supervisor (-1: nobody)."""
        near, fee = self.prices.near[self.b], float(self.ground.weights.section)
        others = self.ground.facts.ratios.crews_per_supervisor - (leader == supervisor)
        further = near[supervisor] if supervisor not in (-1, leader) else 0 * near[leader]
        banned = tuple(self.prices.banned.get((self.b, leader), ()))
        return Terms(banned, tuple((fee - others * near[leader]).tolist()), tuple(further.tolist()))

    def priced(self, terms: Terms) -> PricedWork:
        """The work of the block on these terms."""
        if terms not in self._work:
            self._work[terms] = PricedWork(self.pricing.work, self.prices.job[self.b], terms)
        return self._work[terms]

    def worth(self, terms: Terms, work: Work, modes: list[Mode]) -> Floats:
        """Per holding of a size and mode: the worth of the best work, what is held paid for."""
        key = (terms, work.size)
        if key not in self._tables:
            self._tables[key] = self.priced(terms).table(work) - self._held(work)
        early = [self.pricing.work.early_room(work, mode.lo, mode.hi) for mode in modes]
        room = [mode.hi - mode.lo for mode in modes]
        return self._tables[key][:, early, room, [mode.sorts for mode in modes]]

    def _held(self, work: Work) -> Floats:
        """The price of each holding."""
        sorts, price = self.pricing.sorts, self.prices.kit[self.b]
        kept = [sorts.holdings[int(h)] for h in work.holdings]
        cost = [sum(price[k] * n for k, n in zip(sorts.kits, h.kit, strict=True)) for h in kept]
        return np.array(cost)[:, None, None, None]
