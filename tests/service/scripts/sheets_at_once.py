"""Press the import of one sheet, and of a copy of it, several times at the same moment."""

import json
import sys
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import django

django.setup()

from django.db import connections  # noqa: E402

from coordinator.models import AuditEntry  # noqa: E402
from coordinator.refused import Refused  # noqa: E402
from tests import factories  # noqa: E402
from tests.workdays.spreadsheets.made import workbook  # noqa: E402
from workdays.actions.spreadsheets import bring_in, keep_sheet, nothing_new  # noqa: E402
from workdays.models import SheetImport, Stone, Survey  # noqa: E402
from workdays.queries.spreadsheets import first_mapping  # noqa: E402
from workdays.spreadsheets.reading import read  # noqa: E402

PRESSES = 4


def main(stones: int) -> None:
    """Press twice on each of two sheets that hold the same; print what came of it."""
    head = ["No", "Section", "Date", "Signs"]
    rows = [[f"A{n}", "Old", "2026-04-01", "moss"] for n in range(stones)]
    octets = workbook([head, *rows])
    place, ruth = factories.make_section(name="Old").cemetery, factories.make_staff()
    mapping = first_mapping(place, read(octets)).as_json()
    sheets = [keep_sheet(place, octets, "a.xlsx", mapping=mapping, by=ruth) for _ in range(2)]
    gate = Barrier(PRESSES)

    def press(sheet: SheetImport) -> str:
        gate.wait(60)
        try:
            done = bring_in(sheet, by=ruth, now=factories.NOW)
        except Refused as refused:
            return str(refused)
        finally:
            connections.close_all()
        return nothing_new(done) or "brought in"

    with ThreadPoolExecutor(PRESSES) as pool:
        said = [pool.submit(press, sheets[n % 2]) for n in range(PRESSES)]
        told = Counter(one.result(120) for one in said)
    found = {"stones": Stone.objects.count(), "looks": Survey.objects.count(), "told": told}
    found["audited"] = AuditEntry.objects.filter(verb="brought in").count()
    sys.stdout.write(json.dumps(found))


main(int(sys.argv[1]))
