"""Rounds of column generation: the master gives prices, the pricing gives columns and a bound."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import floor as whole

from workdays.planner.column_bans import Bans
from workdays.planner.column_master import Master
from workdays.planner.column_prices import Floats
from workdays.planner.column_pricing import Pricing
from workdays.planner.column_sorts import Sorts
from workdays.planner.index import PIN, Ground

SLACK = 1e-6
SMOOTH = 0.7
UNKNOWN = 1e15


@dataclass(frozen=True, slots=True)
class Branch:
    """A part of all plans: what it rules out, a bound of it, and the prices that gave it.

    `met`: the master says that no prices give a lower bound of this branch.
    """

    bans: Bans = field(default_factory=Bans)
    bound: float = UNKNOWN
    at: Floats | None = None
    met: bool = False

    @property
    def points(self) -> int:
        """The bound as points, which are whole."""
        return whole(self.bound + SLACK)


class Rounds:
    """The master and the pricing of a day, shared by all branches."""

    def __init__(self, ground: Ground, sorts: Sorts, out_of_time: Callable[[], bool]) -> None:
        self.ground, self.out_of_time = ground, out_of_time
        self.master = Master(ground, sorts)
        self.pricing = [Pricing(ground, sorts, b) for b in range(len(ground.blocks))]
        self.apart = ground.weights.together * len(ground.pairs) * len(ground.blocks)
        held = [pin for pin in ground.facts.pins if pin.leader is not None]
        self.apart -= PIN * (len(held) + len(ground.pinned))
        self.count = 0

    def bound(self, branch: Branch, enough: int) -> Branch:
        """Rounds until the bound meets the master, or is low enough, or the time is over."""
        self.master.enter(branch.bans)
        smooth, at = SMOOTH, branch.at
        while not self.out_of_time() and branch.points > enough:
            mixed = self.master.solve()
            if mixed is None or branch.points <= whole(mixed[0] + self.apart + SLACK):
                return replace(branch, met=True)
            duals = mixed[1] if at is None else smooth * at + (1 - smooth) * mixed[1]
            found = self._priced(duals)
            if found is None:
                break
            if found[0] < branch.bound:
                branch = replace(branch, bound=found[0], at=duals)
            at = branch.at
            if not found[1]:
                if at is None or smooth == 0:
                    return replace(branch, met=True)
                smooth = 0.0 if smooth < SMOOTH / 2 else smooth / 2
        return branch

    def _priced(self, duals: Floats) -> tuple[float, int] | None:
        """Price every block: the bound, and the number of new columns; None: out of time."""
        prices, new = self.master.prices(duals), 0
        bound = self.master.rows.fixed(duals) + self.apart
        for pricing in self.pricing:
            found = pricing.priced(prices, self.out_of_time)
            if found is None:
                return None
            bound += found[0]
            new += sum(self.master.add(one.column) for one in found[1])
        self.count += 1
        return bound, new
