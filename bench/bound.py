"""Upper bounds of the example days: pooled hours and columns; once per day, for neither has luck.

`DAY=25x60s1 SECONDS=60 python -m bench.bound` for one day and another time.
"""

import csv
import os
import sys
import time

from bench.plan import DAYS
from workdays.planner.bound import upper_bound
from workdays.planner.column_bound import column_bound
from workdays.planner.dayfile import day_from_text
from workdays.planner.index import Ground
from workdays.rules.crew import value
from workdays.rules.facts import Plan

SECONDS = {8: 60.0, 25: 300.0, 60: 600.0}


def main() -> None:
    """Print the table; larger days only when DAY asks for one."""
    sys.stdout.write("day          best known  pooled  seconds  columns  above best  seconds\n")
    with (DAYS / "figures.csv").open() as file:
        rows = [row for row in csv.DictReader(file) if (DAYS / f"{row['day']}.json").exists()]
    for row in rows:
        asked = os.environ.get("DAY")
        if asked == row["day"] or (asked is None and _people(row["day"]) in SECONDS):
            sys.stdout.write(_line(row["day"], int(row["best_known"])) + "\n")
            sys.stdout.flush()


def _people(day: str) -> int:
    return int(day.split("x")[0])


def _line(name: str, best: int) -> str:
    seconds = float(os.environ.get("SECONDS", SECONDS.get(_people(name), 600.0)))
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    empty, ground = value(facts, Plan()).total, Ground(facts)
    begun = time.monotonic()
    pooled = (upper_bound(ground) or 0) + empty
    pooling, begun = time.monotonic() - begun, time.monotonic()
    found = column_bound(ground, seconds=seconds, clock=time.monotonic, floor=best - empty)
    spent = time.monotonic() - begun
    columns = pooled if found is None else found + empty
    return (
        f"{name:12s} {best:10d} {pooled:7d} {pooling:8.1f} {columns:8d}"
        f" {100 * (columns / best - 1):9.1f} % {spent:8.1f}"
    )


if __name__ == "__main__":
    main()
