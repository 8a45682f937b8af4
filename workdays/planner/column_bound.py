"""An upper bound that no plan can pass, by column generation; closer than pooled hours, slower.

A column is a crew of one block with its people, its jobs and its supervisor. The master mixes
columns so that nothing scarce is used twice; its duals are prices; at any prices that are not
negative, what is scarce at its price and the best column of each leader beyond its prices are
together worth at least as much as any plan. The least of these sums on the way is the bound.

Source: G. Dantzig and P. Wolfe, "Decomposition principle for linear programs" (1960), for the
columns; the bound at any prices is Lagrangian duality; prices smoothed towards the best so far
as in J. Desrosiers and M. Lübbecke, "A Primer in Column Generation" (2005). All from memory.
"""

from collections.abc import Callable
from math import floor as whole
from math import inf

from workdays.planner.column_master import Master
from workdays.planner.column_prices import Floats
from workdays.planner.column_pricing import Pricing
from workdays.planner.column_sorts import MOST_SORTS, Sorts
from workdays.planner.index import PIN, Ground

SLACK = 1e-6
SMOOTH = 0.7
NEAR = 0.01


def column_bound(
    ground: Ground, *, seconds: float, clock: Callable[[], float], floor: int | None = None
) -> int | None:
    """Points above an empty plan that no plan passes; None: not one bound in the time given.

    Where people or jobs are pinned, that no plan with all pins passes. `clock` gives seconds,
    such as time.monotonic. `floor`: the points above an empty plan of a plan that is known; the
    search stops when the bound reaches it, for then that plan is proved the best.
    """
    if not ground.jobs or not ground.people or not ground.blocks:
        return 0
    sorts = Sorts(ground)
    if len(sorts.sorts) > MOST_SORTS:
        return None
    end = clock() + seconds
    return Bounding(ground, sorts, lambda: clock() >= end).search(floor)


class Bounding:
    """One search for a bound: its master, its pricing per block, the best bound so far."""

    def __init__(self, ground: Ground, sorts: Sorts, out_of_time: Callable[[], bool]) -> None:
        self.out_of_time = out_of_time
        self.master = Master(ground, sorts)
        self.pricing = [Pricing(ground, sorts, b) for b in range(len(ground.blocks))]
        self.apart = ground.weights.together * len(ground.pairs) * len(ground.blocks)
        held = [pin for pin in ground.facts.pins if pin.leader is not None]
        self.apart -= PIN * (len(held) + len(ground.pinned))
        self.best, self.rounds = inf, 0
        self.at: Floats | None = None
        self.smooth = SMOOTH

    def search(self, floor: int | None) -> int | None:
        """Rounds until the bound meets the master or the floor, or the time is over."""
        while not self.out_of_time():
            mixed = self.master.solve()
            if mixed is None or self.best - mixed[0] - self.apart < NEAR:
                break
            if not self._round(mixed[1]) or (floor is not None and self.whole() <= floor):
                break
        return None if self.best == inf else self.whole()

    def whole(self) -> int:
        """The best bound as points, which are whole."""
        return whole(self.best + SLACK)

    def _round(self, duals: Floats) -> bool:
        """Price once, at prices between the best so far and the duals; whether to go on."""
        prices = duals if self.at is None else self.smooth * self.at + (1 - self.smooth) * duals
        new = self._priced(prices)
        if new is None:
            return False
        self.rounds += 1
        if not new:
            if self.at is None:
                return False
            self.at, self.smooth = None, max(0.0, self.smooth - 0.1)
        return True

    def _priced(self, duals: Floats) -> int | None:
        """Price every block; the number of new columns, None: out of time."""
        prices, new = self.master.prices(duals), 0
        bound = self.master.rows.fixed(duals) + self.apart
        for pricing in self.pricing:
            found = pricing.priced(prices, self.out_of_time)
            if found is None:
                return None
            bound += found[0]
            new += sum(self.master.add(one.column) for one in found[1])
        if bound < self.best:
            self.best, self.at = bound, duals
        return new
