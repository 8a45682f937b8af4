"""Ten thousand stones with a look at each, from an XLSX file: tried, brought in, undone, exported.

In a process and an embedded database of their own, so that the peak of memory is theirs.
"""

import io
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from pathlib import Path
from typing import Any

ROWS = 10_000
ROOT = Path(__file__).parents[1]
HEAD = ["Remarks", "Stone No", "Sect", "Type", "Material", "Ht (in)", "W (in)", "T (in)", "Name",
        "Year", "Surveyed", "Condition", "Lean", "Tapped"]  # fmt: skip


def main() -> None:
    """Measure in a fresh process and print the table."""
    with tempfile.TemporaryDirectory() as folder:
        env = os.environ | {"VAR_DIR": folder, "DATABASE_URL": "", "LOG_LEVEL": "warning"}
        # As a site serves it: with DEBUG, which is on without DEMO, each statement is written down.
        env |= {"DJANGO_SETTINGS_MODULE": "coordinator.settings", "DEMO": "true"}
        words = [sys.executable, "-m", "bench.sheets"]
        subprocess.run(words, cwd=ROOT, env=env, check=True)  # noqa: S603  # fixed words


def measure() -> None:
    """Print seconds for each step, and the peak of memory so far."""
    import django

    django.setup()
    from django.core.management import call_command

    call_command("migrate", verbosity=0)
    octets = sheet()
    head = f"spreadsheet of {ROWS:,} rows, {len(octets) // 1024} kB"
    sys.stdout.write(f"{head:44s}  seconds  processor  peak MB\n")
    sys.stdout.write(f"{'(before the first step)':44s} {peak_mb():28.0f}\n")
    _steps(octets)


def sheet() -> bytes:
    """Return a workbook of stones, each with a look, as a spreadsheet program saves it.

    It is made in a process of its own, so that its memory is not counted.
    """
    fresh = get_context("spawn")
    with ProcessPoolExecutor(max_workers=1, mp_context=fresh) as pool:
        return pool.submit(_made).result()


def _made() -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    assert page is not None  # noqa: S101  # a new workbook has a page
    for row in _rows():
        page.append(row)
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _rows() -> Iterator[list[Any]]:
    yield HEAD
    types, materials = ("tablet", "obelisk", "ledger", "footstone"), ("marble", "granite", "slate")
    signs = ("moss", "none", "sugaring", "crack; moss", "sunk")
    for n in range(1, ROWS + 1):
        yield [
            f"note {n}", f"S{n:05d}", f"Part {n % 12}", types[n % 4], materials[n % 3],
            20 + n % 30, 12 + n % 10, 2 + n % 4, f"Name {n % 900}", 1800 + n % 120,
            f"2025-0{1 + n % 9}-1{n % 10}", signs[n % 5], n % 20, "solid",
        ]  # fmt: skip


@contextmanager
def _timed(step: str) -> Iterator[None]:
    begun, busy = time.monotonic(), time.process_time()
    yield
    spent, worked = time.monotonic() - begun, time.process_time() - busy
    sys.stdout.write(f"{step:44s} {spent:8.1f} {worked:10.1f} {peak_mb():8.0f}\n")
    sys.stdout.flush()


def peak_mb() -> float:
    """Return the most memory that this process held so far, in MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _steps(octets: bytes) -> None:
    from tests import factories
    from workdays.actions import spreadsheets as actions
    from workdays.actions.undoing import undo_import
    from workdays.queries.spreadsheets import first_mapping, stones_now
    from workdays.spreadsheets.reading import read
    from workdays.spreadsheets.writing import to_workbook

    place, ruth = factories.make_cemetery(), factories.make_staff()
    with _timed("read the file, guess its columns, keep it"):
        table = read(octets)
        mapping = first_mapping(place, table).as_json() | {"new_sections": True}
        named: dict[str, Any] = {"mapping": mapping, "by": ruth, "table": table}
        kept = actions.keep_sheet(place, octets, "bench.xlsx", **named)
    with _timed("bring it in"):
        actions.bring_in(kept, by=ruth, now=factories.NOW)
    with _timed("bring the same in again: nothing new"):
        again = actions.keep_sheet(place, octets, "bench.xlsx", **named)
        actions.bring_in(again, by=ruth, now=factories.NOW)
    with _timed("export as XLSX"):
        to_workbook(stones_now(place))
    with _timed("undo it"):
        undo_import(kept, by=ruth, now=factories.NOW)
    with _timed("all of it by the command"):
        _command(place.slug, mapping, octets)


def _command(slug: str, mapping: Any, octets: bytes) -> None:
    from django.core.cache import cache
    from django.core.management import call_command

    cache.clear()
    folder = Path(os.environ["VAR_DIR"])
    (folder / "other.xlsx").write_bytes(octets)
    (folder / "map.json").write_text(json.dumps(mapping))
    words = [str(folder / "other.xlsx"), f"--mapping={folder / 'map.json'}"]
    call_command("import_stones", *words, cemetery=slug, stdout=io.StringIO())


if __name__ == "__main__":
    measure()
