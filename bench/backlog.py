"""The page of jobs of a cemetery with 1,000 and with 10,000 jobs on 5,000 stones: how it grows.

In a process and an embedded database of their own. Each figure is the median of nine requests,
log-in and templates included; processor time, because others may use the machine.
"""

import sys
import time
from statistics import median

import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from bench.many import make_ground, make_jobs
from coordinator.models import Person
from tests import factories

JOBS = (1_000, 10_000)
STONES = 5_000
TIMES = 9
QUERIES = ("", "?show=waiting", "?show=over", "?show=waiting&reason=prerequisite&page=9")


def measure() -> None:
    """Print statements and milliseconds for each list, and how many times more they become."""
    visitor = factories.make_staff()
    for jobs in JOBS:
        place = make_ground(f"Hill {jobs}", stones=STONES)
        make_jobs(place, jobs=jobs, now=factories.NOW)
    head = f"page of jobs, {STONES:,} stones"
    columns = "  ".join(f"{jobs:>6,} jobs: statements, ms" for jobs in JOBS)
    sys.stdout.write(f"{head:44s} {columns}  times as long\n")
    for query in QUERIES:
        found = [_asked(visitor, f"/ground/hill-{jobs}/backlog/{query}") for jobs in JOBS]
        figures = "  ".join(f"{statements:>23d} {ms:5.0f}" for statements, ms in found)
        ratio = found[1][1] / found[0][1]
        sys.stdout.write(f"{query or '?show=ready':44s} {figures} {ratio:14.1f}\n")
        sys.stdout.flush()


def _asked(visitor: Person, path: str) -> tuple[int, float]:
    """Return how many statements a page takes, and its milliseconds of processor time."""
    client = Client(SERVER_NAME="localhost")
    with time_machine.travel(factories.NOW, tick=False):
        client.force_login(visitor.user)  # type: ignore[arg-type]  # staff have a log-in
        with CaptureQueriesContext(connection) as found:
            if client.get(path).status_code != 200:
                raise RuntimeError(f"{path} is not shown")
        statements = len(found)
        spent = []
        for _ in range(TIMES):
            begun = time.process_time()
            client.get(path)
            spent.append(time.process_time() - begun)
    return statements, 1000 * median(spent)
