"""The plan of a cemetery with 5,000 stones: how large its pages are, plain and compressed."""

import gzip
import sys

import time_machine
from django.test import Client

from bench.many import make_ground, make_jobs
from tests import factories

STONES, JOBS = 5_000, 10_000


def measure() -> None:
    """Print the size of the whole page, of one section and of those stones that need a reset."""
    visitor = factories.make_staff()
    place = make_ground("Large hill", stones=STONES)
    make_jobs(place, jobs=JOBS, now=factories.NOW)
    section = place.sections.earliest("pk").pk
    sys.stdout.write(f"{f'plan of {STONES:,} stones':44s} kB plain  kB compressed\n")
    client = Client(SERVER_NAME="localhost")
    with time_machine.travel(factories.NOW, tick=False):
        client.force_login(visitor.user)  # type: ignore[arg-type]  # staff have a log-in
        for name, query in (
            ("the whole cemetery", ""),
            ("one section of it", f"?section={section}"),
            ("stones that need a reset, one section", f"?section={section}&needs=reset"),
        ):
            octets = client.get(f"/ground/large-hill/{query}").content
            packed = len(gzip.compress(octets)) / 1000
            sys.stdout.write(f"{name:44s} {len(octets) / 1000:8.0f} {packed:14.1f}\n")
            sys.stdout.flush()
