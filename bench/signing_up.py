"""How many sign up in a second, who gets a place in a race, how fast the public page of a day is.

Over HTTP, against a web server of its own on loopback, on files and on PostgreSQL with Redis. The
measure beside each is a bare Django view on the same server and database, in the same run: one
writes a row, the other renders a template of the same size.

`RACES=50` sets how often 200 people race for 40 places.
"""

import os
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from statistics import quantiles

from tests.service import race, servers
from tests.service.stack import ROOT, Stack

SCRIPT = ROOT / "tests/service/scripts/race_day.py"
PEOPLE, PLACES = 200, 40
SENDERS, SENDINGS = 8, 200
LOOKS = 800
FAST = {"SIGN_UPS_PER_NETWORK_HOUR": "1000000", "FORM_LEAST_SECONDS": "0", "LOG_LEVEL": "error"}


@contextmanager
def sites() -> Iterator[dict[str, dict[str, str]]]:
    """Give the settings of both kinds of site; the servers end with the block."""
    with servers.postgres() as cluster, servers.redis_server() as redis:
        yield {
            "files (SQLite)": FAST,
            "PostgreSQL, Redis": FAST
            | {
                "DATABASE_URL": servers.new_database(cluster, "bench"),
                "REDIS_URL": servers.empty_redis(redis, 1),
            },
        }


def main() -> None:
    """Print races, rates and ratios for each kind of site."""
    races = int(os.environ.get("RACES", "50"))
    with sites() as kinds:
        for name, settings in kinds.items():
            with tempfile.TemporaryDirectory() as folder:
                _measure(name, Stack(Path(folder), settings), races)


def _measure(name: str, site: Stack, races: int) -> None:
    site.manage("migrate", "--verbosity=0")
    bare = Stack(site.folder, {**site.settings, "DJANGO_SETTINGS_MODULE": "bench.bare"})
    try:
        site.start_web()
        bare.start_web("django.core.wsgi:get_wsgi_application()")
        _say(f"{name}: {_races(site, races)}")
        _say(f"{name}: {_sign_ups(site, bare)}")
        _say(f"{name}: {_pages(site, bare)}")
    finally:
        site.stop()
        bare.stop()


def _say(words: str) -> None:
    sys.stdout.write(words + "\n")
    sys.stdout.flush()


def _day(site: Stack, places: int) -> int:
    return int(site.python(SCRIPT, "make", str(places)))


def _races(site: Stack, races: int) -> str:
    right, most = 0, 0
    for number in range(races):
        day = _day(site, PLACES)
        race.race(site.url, f"/days/{day}/sign-up/", PEOPLE, f"race{number}")
        states = site.python(SCRIPT, "look", str(day))
        right += states == ["unconfirmed"] * PLACES + ["waiting"] * (PEOPLE - PLACES)
        most = max(most, states.count("unconfirmed"))
    return (
        f"{races} races of {PEOPLE} for {PLACES} places: {right} with {PLACES} placed and the "
        f"rest in line in order; most placed at once {most}"
    )


def _sign_ups(site: Stack, bare: Stack) -> str:
    day = _day(site, 500)
    page = race.open_page(site.url, f"/days/{day}/sign-up/")
    write = replace(page, path="/write/")

    def sign_up(number: int) -> race.Answer:
        return race.send(site.url, page, race.form(page, number, "rate"))

    def one_row(number: int) -> race.Answer:
        return race.send(bare.url, write, race.form(page, number, "rate"))

    ours, p95 = _rate(sign_up, SENDINGS, {302})
    theirs, bare_p95 = _rate(one_row, SENDINGS, {200})
    return (
        f"{ours:.0f} sign-ups a second, p95 {1000 * p95:.0f} ms; a bare view that writes a row "
        f"{theirs:.0f}, {1000 * bare_p95:.0f} ms: "
        f"{ours / theirs:.2f} times as many, p95 {p95 / bare_p95:.1f} times as long"
    )


def _pages(site: Stack, bare: Stack) -> str:
    day = _day(site, PLACES)
    size = race.look(site.url, f"/days/{day}/")
    ours, _ = _rate(lambda _n: race.get(site.url, f"/days/{day}/"), LOOKS, {200})
    theirs, _ = _rate(lambda _n: race.get(bare.url, f"/page/{size}/"), LOOKS, {200})
    return (
        f"{ours:.0f} public pages of a day a second ({size} octets); a bare view with a template "
        f"of that size {theirs:.0f}: {ours / theirs:.2f}"
    )


def _rate(act: Callable[[int], race.Answer], times: int, expected: set[int]) -> tuple[float, float]:
    """Return how many acts a second, and the seconds that 95 in 100 stay under."""
    with ThreadPoolExecutor(SENDERS) as pool:
        list(pool.map(act, range(-SENDERS, 0)))  # warm
        begun = time.perf_counter()
        answers = list(pool.map(act, range(times)))
        spent = time.perf_counter() - begun
    if race.statuses(answers) != expected:
        raise RuntimeError(f"heard {race.statuses(answers)}, not {expected}")
    return times / spent, quantiles([a.seconds for a in answers], n=20)[-1]


if __name__ == "__main__":
    main()
