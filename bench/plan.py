"""The planner on the example days, against what is asked of it; the median of three seeds.

Seconds are those of the processor, of which a search uses one: two seeds run at a time, and other
work on the machine changes little. `DAY=25x60s1 SECONDS=60 python -m bench.plan` for one of them.
"""

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
from workdays.rules.crew import violations

DAYS = Path(__file__).parents[1] / "fixtures" / "days"
SEEDS = (1, 2, 3)
# By people: after so many seconds at least so many per cent of the best value known.
ASKED = {
    8: ((5, 100),),
    25: ((10, 97), (60, 99)),
    60: ((30, 95), (240, 100)),
    150: ((60, 97),),
    400: ((120, 95),),
}


@dataclass(frozen=True)
class Measured:
    """One run on one day."""

    value: int
    proved: bool
    at_once: float
    tries: int
    megabytes: float


def measure(name: str, seed: int, seconds: float) -> Measured:
    """Plan one example day in this process; the plan at once is judged, as every plan is."""
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    solve(facts, limit=Limit(rounds=0, proof=0, bound=False))  # loads the compiled search
    begun = time.process_time()
    first = solve(facts, seed=seed, limit=Limit(rounds=0, proof=0, bound=False))
    at_once = time.process_time() - begun
    limit = Limit(rounds=10**9, seconds=seconds)
    found = solve(facts, seed=seed, limit=limit, clock=time.process_time)
    if violations(facts, first.plan) or violations(facts, found.plan):
        raise RuntimeError(f"A plan of {name} breaks a rule.")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return Measured(found.value.total, found.proved, at_once, found.rounds, peak)


def main() -> None:
    """Print the table; DAY and SECONDS in the environment pick one day and another time."""
    sys.stdout.write(
        "| day | best known | seconds | values of 3 seeds | % of it (asked) | above careful "
        "| proved | plan at once, s | tries | MB |\n| " + "--- | " * 10 + "\n"
    )
    with (DAYS / "figures.csv").open() as file:
        rows = list(csv.DictReader(file))
    for row in rows:
        if os.environ.get("DAY", row["day"]) == row["day"]:
            _lines(row)


def _lines(row: dict[str, str]) -> None:
    asked = ASKED[int(row["people"])]
    if "SECONDS" in os.environ:
        asked = ((int(os.environ["SECONDS"]), 0),)
    for seconds, share in asked:
        runs = _runs(row["day"], seconds)
        sys.stdout.write(_line(row, runs, seconds, share) + "\n")
        sys.stdout.flush()


def _runs(name: str, seconds: float) -> list[Measured]:
    fresh = get_context("spawn")
    with ProcessPoolExecutor(max_workers=2, mp_context=fresh, max_tasks_per_child=1) as pool:
        return list(pool.map(measure, [name] * 3, SEEDS, [seconds] * 3))


def _line(row: dict[str, str], runs: list[Measured], seconds: float, share: float) -> str:
    best, careful = int(row["best_known"]), int(row["careful"])
    value = median(run.value for run in runs)
    cells = [
        row["day"],
        str(best),
        str(seconds),
        ", ".join(str(run.value) for run in runs),
        f"{100 * value / best:.1f} ({share})" if share else f"{100 * value / best:.1f}",
        f"{100 * (value / careful - 1):.0f} %",
        f"{sum(run.proved for run in runs)} of {len(runs)}",
        f"{max(run.at_once for run in runs):.2f}",
        f"{median(run.tries for run in runs):,.0f}",
        f"{max(run.megabytes for run in runs):.0f}",
    ]
    return f"| {' | '.join(cells)} |"


if __name__ == "__main__":
    main()
