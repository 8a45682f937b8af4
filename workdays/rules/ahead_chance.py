"""What chance decides in a look ahead: who comes, which days are lost, how long jobs take.

Nothing here depends on what is tried: a try of the same number has the same chances with one more
person or one more hour, so that two answers differ by the change and not by luck.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from workdays.rules.ahead_facts import AheadFacts, Lost, Usual

# Assumptions, shown on the page as such. Common practice, no source.
OWN_DAYS = 2.0  # each person is judged by own days and so many of what all do together
LOST_SHARE, LOST_DAYS = 0.1, 5.0  # one day in ten is called off, as if seen on five days
FEW_TIMES = 8  # with fewer recorded jobs the spread of their times is assumed
SPREAD = 0.35  # two jobs of three take 0.7 to 1.4 times their estimate
SHORTEST, LONGEST = 0.2, 5.0

Shares = NDArray[np.float64]


@dataclass(frozen=True)
class Luck:
    """The chances of one try: who comes, day by day; lost days; shares of the estimates."""

    present: NDArray[np.bool_]
    newcomers: NDArray[np.int64]
    lost: NDArray[np.bool_]
    pace: Shares


class Chance:
    """Draws the chances of each try by its number."""

    def __init__(self, facts: AheadFacts, *, seed: int) -> None:
        self.facts, self.seed = facts, seed
        self.people = [usual for usual in facts.people if not usual.always]
        self.came = np.array([usual.came for usual in self.people], dtype=float)
        self.missed = np.array([usual.days - usual.came for usual in self.people], dtype=float)
        self.mean = usual_share(self.people)
        self.months = np.array([on.month for on in facts.dates], dtype=int)

    @cached_property
    def lost_shares(self) -> tuple[Shares, Shares]:
        """The two numbers of the beta distribution of lost days, month by month."""
        everywhere = whole_year(self.facts.lost.values())
        off = LOST_SHARE * LOST_DAYS + everywhere.called_off
        usual = off / (LOST_DAYS + everywhere.days)
        rows = [self.facts.lost.get(month, Lost()) for month in range(13)]
        lost = [row.called_off + LOST_DAYS * usual for row in rows]
        held = [row.days - row.called_off + LOST_DAYS * (1 - usual) for row in rows]
        return np.array(lost), np.array(held)

    def of(self, number: int) -> Luck:
        """Return the chances of one try; the same number has the same.

        How often somebody comes is itself uncertain after few days: each try draws it from the
        beta distribution that their days leave, so that the range says what is not known.
        """
        draw = np.random.Generator(np.random.PCG64([self.seed, number]))
        days = len(self.facts.dates)
        lost = draw.beta(*self.lost_shares)[self.months] > draw.random(days)
        first_time = np.array(self.facts.newcomers or (0,), dtype=int)
        newcomers = first_time[draw.integers(0, len(first_time), days)]
        pace = self._pace(draw)
        before = OWN_DAYS * self.mean, OWN_DAYS * (1 - self.mean)
        often = draw.beta(self.came + before[0], self.missed + before[1])
        return Luck(draw.random((days, len(often))) < often, newcomers, lost, pace)

    def _pace(self, draw: np.random.Generator) -> Shares:
        jobs = len(self.facts.undone)
        if len(self.facts.pace) >= FEW_TIMES:
            return np.asarray(
                np.clip(draw.choice(np.array(self.facts.pace), jobs), SHORTEST, LONGEST)
            )
        spread = draw.normal(-(SPREAD**2) / 2, SPREAD, jobs)
        return np.asarray(np.clip(np.exp(spread), SHORTEST, LONGEST))


def usual_share(people: Sequence[Usual]) -> float:
    """Return how often all of them together came; one time in two while nothing is known."""
    came, days = sum(one.came for one in people), sum(one.days for one in people)
    return (came + 1) / (days + 2)


def expected_share(usual: Usual, mean: float) -> float:
    """Return on which share of days somebody is to be expected; ``mean``: all of them."""
    if usual.always:
        return 1.0
    return (usual.came + OWN_DAYS * mean) / (usual.days + OWN_DAYS)


def whole_year(months: Iterable[Lost]) -> Lost:
    """Return the days of all months together."""
    rows = list(months)
    return Lost(sum(row.called_off for row in rows), sum(row.days for row in rows))
