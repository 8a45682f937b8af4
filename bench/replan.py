"""Planning again at a quarter past after three no-shows, beside planning anew for 30 seconds.

Each seed plans the day, publishes that plan, and lets other three people stay away.
"""

import os
import random
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from statistics import median

from bench.plan import DAYS, SEEDS
from workdays.planner.dayfile import day_from_text
from workdays.planner.going_on import REST_OF_DAY
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan

NAMES = ("25x60s1", "60x150s1", "150x400s1")
NO_SHOWS = 3
MOST_MOVED = 10
ANEW_SECONDS = 30.0


@dataclass(frozen=True)
class Again:
    """One morning: how long it took, what both plans are worth by the day's own aims."""

    seconds: float
    cpu_seconds: float
    value: int
    anew: int
    moved: int
    broken: int


def morning(name: str, seed: int) -> tuple[DayFacts, Plan]:
    """Return a day without its no-shows, and the plan that was published for it."""
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    limit = Limit(rounds=10**9, seconds=10, proof=0, bound=False)
    before = solve(facts, seed=seed, limit=limit, clock=time.process_time).plan
    placed = sorted({key for crew in before.crews for key in crew.members})
    gone = random.Random(seed).sample(placed, NO_SHOWS)  # noqa: S311  # no secret
    here = tuple(one if one.id not in gone else replace(one, leave=0) for one in facts.people)
    return replace(facts, people=here), before


def measure(name: str, seed: int) -> Again:
    """Plan again and anew in this process."""
    facts, before = morning(name, seed)
    rest = replace(facts, before=before, now=1, max_moved=MOST_MOVED)
    clock, cpu = time.monotonic(), time.process_time()
    found = solve(rest, seed=seed, limit=REST_OF_DAY, start=before)
    seconds, cpu_seconds = time.monotonic() - clock, time.process_time() - cpu
    limit = Limit(rounds=10**9, seconds=ANEW_SECONDS, proof=0, bound=False)
    anew = solve(facts, seed=seed, limit=limit, clock=time.process_time)
    moved = replace(rest, max_moved=0)
    told = [one for one in violations(moved, found.plan) if one.rule == "most moved"]
    return Again(
        seconds=seconds,
        cpu_seconds=cpu_seconds,
        value=value(facts, found.plan).total,
        anew=anew.value.total,
        moved=len(told[0].about) if told else 0,
        broken=len(violations(rest, found.plan)),
    )


def main() -> None:
    """Print the table; DAY in the environment picks one day."""
    sys.stdout.write(
        "planned again    cpu seconds (at most 5)  value  anew, 30 s     % (at least 97)"
        "  moved (at most 10)  rules broken\n"
    )
    for name in NAMES:
        if os.environ.get("DAY", name) == name:
            sys.stdout.write(_line(name) + "\n")
            sys.stdout.flush()


def _line(name: str) -> str:
    runs = []
    for seed in SEEDS:
        with ProcessPoolExecutor(max_workers=1, mp_context=get_context("spawn")) as pool:
            runs.append(pool.submit(measure, name, seed).result())
    share = median(100 * run.value / run.anew for run in runs)
    return (
        f"{name:16s} {max(run.cpu_seconds for run in runs):24.1f}"
        f" {median(run.value for run in runs):6.0f} {median(run.anew for run in runs):11.0f}"
        f" {share:9.1f} {max(run.moved for run in runs):29d} {sum(run.broken for run in runs):13d}"
    )


if __name__ == "__main__":
    main()
