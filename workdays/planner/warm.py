"""Compile the search once, so that no plan waits for it: `python -m workdays.planner.warm`."""

from workdays.planner.solve import Limit, solve
from workdays.rules.facts import (
    BlockFacts,
    DayFacts,
    Interval,
    JobFacts,
    KindFacts,
    PersonFacts,
    SectionFacts,
)

SMALL = DayFacts(
    blocks=(BlockFacts("morning", 0, 4),),
    people=(PersonFacts("a", 0, 4, leads=True),),
    jobs=(JobFacts("j", "rake", "s", minutes=30, priority=1, windows=(Interval(0, 4),)),),
    kinds=(KindFacts("rake", "rake"),),
    sections=(SectionFacts("s"),),
)
LEAST = Limit(rounds=1, proof=0, bound=False)


def warm() -> None:
    """Plan the smallest day, from nothing and from a plan."""
    solve(SMALL, limit=LEAST, start=solve(SMALL, limit=LEAST).plan)


if __name__ == "__main__":
    warm()
