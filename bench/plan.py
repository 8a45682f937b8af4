"""The planner on the example days: median of three seeds after so many seconds of the clock."""

import csv
import os
import resource
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from statistics import median

from workdays.planner.dayfile import day_from_text
from workdays.planner.solve import Limit, solve

DAYS = Path(__file__).parents[1] / "fixtures" / "days"
SEEDS = (1, 2, 3)
SECONDS = {8: 20.0, 25: 10.0, 60: 30.0, 150: 60.0, 400: 60.0}


@dataclass(frozen=True)
class Measured:
    """One run on one day."""

    value: int
    bound: int | None
    proved: bool
    first_ms: float
    seconds: float
    tries: int
    megabytes: float


def measure(name: str, seed: int, seconds: float) -> Measured:
    """Plan one example day in this process."""
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    begun = time.monotonic()
    solve(facts, seed=seed, limit=Limit(rounds=0, proof=0, bound=False))
    first = time.monotonic() - begun
    begun = time.monotonic()
    limit = Limit(rounds=10**9, seconds=seconds)
    found = solve(facts, seed=seed, limit=limit, clock=time.monotonic)
    spent = time.monotonic() - begun
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return Measured(
        found.value.total, found.bound, found.proved, 1000 * first, spent, found.rounds, peak
    )


def main() -> None:
    """Print the table; DAY and SECONDS in the environment pick one day and another time."""
    sys.stdout.write(
        "day           best known   median     %  bound  proved  at once/ms  seconds   tries  MB\n"
    )
    with (DAYS / "figures.csv").open() as file:
        rows = [row for row in csv.DictReader(file) if (DAYS / f"{row['day']}.json").exists()]
    for row in rows:
        if os.environ.get("DAY", row["day"]) == row["day"]:
            sys.stdout.write(_line(row["day"], int(row["best_known"])) + "\n")
            sys.stdout.flush()


def _line(name: str, best: int) -> str:
    seconds = float(os.environ.get("SECONDS", SECONDS[int(name.split("x")[0])]))
    fresh = get_context("spawn")
    runs = []
    for seed in SEEDS:
        with ProcessPoolExecutor(max_workers=1, mp_context=fresh) as pool:
            runs.append(pool.submit(measure, name, seed, seconds).result())
    value = median(run.value for run in runs)
    bounds = [run.bound for run in runs if run.bound is not None]
    proved = f"{sum(run.proved for run in runs)} of {len(runs)}"
    first, spent = (median(x) for x in zip(*((r.first_ms, r.seconds) for r in runs), strict=True))
    tries, peak = median(run.tries for run in runs), max(run.megabytes for run in runs)
    return (
        f"{name:12s} {best:11d} {value:8.0f} {100 * value / best:5.1f} {min(bounds, default=0):6d}"
        f" {proved:>7s} {first:11.0f} {spent:8.1f} {tries:7.0f} {peak:3.0f}"
    )
