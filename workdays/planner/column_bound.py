"""An upper bound that no plan can pass, by column generation; closer than pooled hours, slower.

A column is a crew of one block with its people, its jobs and its supervisor. The master mixes
columns so that nothing scarce is used twice; its duals are prices; at any prices that are not
negative, what is scarce at its price and the best column of each leader beyond its prices are
together worth at least as much as any plan. The least of these sums on the way is the bound.
Where it and the master meet, what the mixture does in parts is split in two branches, and the
bound is that of the worst branch.

Source: G. Dantzig and P. Wolfe, "Decomposition principle for linear programs" (1960), for the
columns; the bound at any prices is Lagrangian duality; prices smoothed towards the best so far,
and branches, as in J. Desrosiers and M. Lübbecke, "A Primer in Column Generation" (2005). All
from memory.
"""

import heapq
from collections.abc import Callable
from dataclasses import replace

from workdays.planner.column_bans import Thing, halves, split
from workdays.planner.column_rounds import UNKNOWN, Branch, Rounds
from workdays.planner.column_sorts import MOST_SORTS, Sorts
from workdays.planner.index import Ground

NONE = -(10**15)


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
    rounds = Rounds(ground, sorts, lambda: clock() >= end)
    return Tree(rounds, floor).search()


class Tree:
    """The branches, the worst first."""

    def __init__(self, rounds: Rounds, floor: int | None) -> None:
        self.rounds = rounds
        self.floor = NONE if floor is None else floor
        self.open: list[tuple[float, int, Branch]] = []
        self.count = 0

    def search(self) -> int | None:
        """Lower or split the worst branch until it is as low as the floor, or the time is over."""
        self._push(Branch())
        while not self.rounds.out_of_time() and self.worst.points > self.floor:
            worst = heapq.heappop(self.open)[2]
            branches = self._branches(worst) if worst.met else [self._lower(worst)]
            if not branches:
                self._push(worst)
                break
            for branch in branches:
                self._push(branch)
        return None if self.worst.bound == UNKNOWN else self.worst.points

    @property
    def worst(self) -> Branch:
        """The branch with the highest bound."""
        return self.open[0][2]

    def _lower(self, branch: Branch) -> Branch:
        """A branch with its bound lowered until another is the worst."""
        enough = self.worst.points - 1 if self.open else self.floor
        return self.rounds.bound(branch, max(enough, self.floor))

    def _push(self, branch: Branch) -> None:
        self.count += 1
        heapq.heappush(self.open, (-branch.bound, self.count, branch))

    def _branches(self, worst: Branch) -> list[Branch]:
        """The two branches that lower the mixture the most; none where nothing is in parts."""
        self.rounds.master.enter(worst.bans)
        if self.rounds.master.solve() is None:
            return []
        things = halves(self.rounds.master.mixture())
        if not things:
            return []
        best = max(things, key=lambda thing: self._drop(worst, thing))
        both = split(self.rounds.ground, worst.bans, best)
        return [replace(worst, bans=bans, met=False) for bans in both]

    def _drop(self, worst: Branch, thing: Thing) -> float:
        """How far the known columns' mixture falls on both branches."""
        drops = []
        for bans in split(self.rounds.ground, worst.bans, thing):
            self.rounds.master.enter(bans)
            found = self.rounds.master.solve()
            drops.append(worst.bound if found is None else worst.bound - found[0])
        return min(drops) + 0.1 * max(drops)
