"""A workbook of stones as people keep them, made from a fixed seed."""

import io
import random
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from openpyxl import Workbook

ROWS = 2_000
SEED = 11
TITLE = "Stones of the old ground, walked by the spring class"
ABOVE = ["Remarks", "Stone", None, "Kind of", "Size", None, None, "Rock", "Name", "Last",
         "What is", "Lean", "Tap", "Drawer"]  # fmt: skip
BELOW = [None, "No.", "Sect", "marker", "Ht (in)", "Wd (in)", "Th (in)", None, "on it", "seen",
         "wrong", "deg", "test", None]  # fmt: skip
TYPES = ("Tablet", "headstone", "OBELISK", "Ledger", "Die on base", "foot stone")
ROCKS = ("White marble", "granite", "Gray granite", "slate", "brownstone", "limestone")
SIGNS = ("moss", "none", "crack; moss", "sugaring", "sunk, dirty", "flaking", "ok")
# Row of the class's list, column of the sheet (from 0), what stands there, what the page says.
FAULTS: tuple[tuple[int, int, Any, str], ...] = (
    (12, 4, "tall", "“tall” is no length"),
    (40, 4, 1600, "“1600” would be 40.64 m"),
    (77, 5, -18, "would be -0.4572 m"),
    (150, 9, "31/02/2025", "is no day of the calendar"),
    (300, 11, "steep", "“steep” is not a whole number"),
    (512, 1, "OG-0511", "stone “OG-0511” is in row"),
    (900, 9, "2098-01-01", "this day is to come"),
)


def messy_workbook(*, mended: bool) -> bytes:
    """Return the workbook; ``mended``: the faults were looked after in it."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Spring class"
    for row in (rows := list(_rows(mended=mended))):
        page.append(row)
    page.merge_cells("A1:N1")
    page.merge_cells("E3:G3")
    assert len(rows) > ROWS
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _rows(*, mended: bool) -> Iterator[list[Any]]:
    dice = random.Random(SEED)
    faults = {} if mended else {n: (column, value) for n, column, value, _ in FAULTS}
    yield [TITLE]
    yield []
    yield ABOVE
    yield BELOW
    for n in range(1, ROWS + 1):
        row = _row(n, dice)
        if n in faults:
            column, value = faults[n]
            row[column] = value
        yield row
        if n % 250 == 0:
            yield []
    yield ["Total", None, None, None, ROWS]


def _row(n: int, dice: random.Random) -> list[Any]:
    on = date(2025, 4, 1) + timedelta(days=n % 40)
    days = [
        on.isoformat(),
        on.strftime("%m/%d/%Y"),
        datetime.combine(on, time.min),
        f"{on:%B} {on.day}, {on.year}",
    ]
    return [
        "by the wall" if n % 9 == 0 else None,
        f"OG-{n:04d}",
        dice.choice(["Old ground", "old ground", "New ground"]),
        "menhir" if n % 100 == 0 else dice.choice(TYPES),
        dice.choice([24, 30.5, "2' 6\"", "3 ft", "28 in", "61 cm", "24 ½"]),
        dice.choice([18, 12, "18 in"]),
        dice.choice([3, "3 in", "8 cm"]),
        dice.choice(ROCKS),
        dice.choice(["A. Cobb", "Zoë Müller", None, "@Cobb"]),
        dice.choice(days),
        "haunted" if n % 125 == 0 else dice.choice(SIGNS),
        dice.choice([0, 2, "5°", "upright"]),
        dice.choice(["solid", "rings"]),
        f"drawer {n % 7}",
    ]
