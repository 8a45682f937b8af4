"""Which row heads the columns, and what each column is called."""

from __future__ import annotations

import re

from workdays.spreadsheets.fields import FIELDS, Sort
from workdays.spreadsheets.table import Row, Table, is_blank, shown
from workdays.spreadsheets.words import plain

LOOKED_AT = 30
UNITS = {
    "in": ("in", "ins", "inch", "inches", '"'),
    "ft": ("ft", "feet", "foot"),
    "cm": ("cm", "cms", "centimetres", "centimeters"),
    "mm": ("mm",),
    "m": ("m", "metres", "meters"),
}
UNIT_OF = {word: unit for unit, words in UNITS.items() for word in words}
NAMED = {
    plain(name): field.key
    for field in reversed(FIELDS)
    for name in (*field.headings, field.label, re.sub(r" \(.*\)$", "", field.label))
}
# A heading that only contains a known one is trusted for these: "Stone height", "GPS latitude".
BY_PART = [
    (plain(name), field.key)
    for field in FIELDS
    if field.sort in (Sort.LENGTH, Sort.DEGREES) or field.key in {"number", "section", "material"}
    for name in field.headings
    if len(name) > 4
]
BY_PART.sort(key=lambda pair: -len(pair[0]))
NOT_THIS = re.compile(r"\b(?:birth|born|burial|buried|plot size)\b")


def headings(table: Table, row_number: int, lines: int) -> list[str]:
    """Return what each column is called; of two lines the upper one spreads to the right."""
    known = {row.number: row for row in table.rows}
    lower = known.get(row_number, Row(row_number, ()))
    upper = known.get(row_number - 1) if lines > 1 else None
    found, spread = [], ""
    for column in range(table.width):
        above = _text(upper, column) if upper else ""
        spread = above or spread
        below = _text(lower, column)
        found.append(" ".join(part for part in (spread if below or above else "", below) if part))
    return found


def _text(row: Row, column: int) -> str:
    return " ".join(shown(row.cell(column)).split())[:120]


def field_of(heading: str, below: str = "") -> str:
    """Return the field that a heading speaks of; "" when it speaks of none.

    ``below`` is the lower line of a heading in two lines; it comes first.
    """
    tries = [name for text in (below, heading) for name in (plain(text), _without_unit(text))]
    for name in tries:
        if name in NAMED and name:
            return NAMED[name]
    words = _without_unit(heading)
    if NOT_THIS.search(words):
        return ""
    return next((key for name, key in BY_PART if re.search(rf"\b{re.escape(name)}\b", words)), "")


def unit_of(heading: str) -> str:
    """Return the unit that a heading names: "Ht (in)", "Width cm", "Height in inches"."""
    words = re.findall(r"[a-z]+|\"", plain(heading))
    return next((UNIT_OF[word] for word in reversed(words) if word in UNIT_OF), "")


def _without_unit(heading: str) -> str:
    bare = re.sub(r"[(\[].*?[)\]]", " ", plain(heading))
    words = re.sub(r"[^\w#&'\s]", " ", bare).split()
    while len(words) > 1 and words[-1] in UNIT_OF:
        words.pop()
    return " ".join(words)


def guess_row(table: Table) -> tuple[int, int]:
    """Return the row that heads the columns, and of how many lines (1 or 2) the heading is."""
    if not table.rows:
        return 1, 1
    best, row, lines = (0, 0, 0), table.rows[0].number, 1
    numbers = {one.number for one in table.rows}
    for one in table.rows[:LOOKED_AT]:
        for tall in (1, 2):
            if tall == 2 and not (one.number - 1 in numbers and _two_lined(table, one.number)):
                continue
            score = _score(table, one.number, tall)
            if score > best:
                best, row, lines = score, one.number, tall
    return row, lines


def _two_lined(table: Table, number: int) -> bool:
    """Whether the row above can be the upper line: it names several columns, no numbers."""
    above = next(row for row in table.rows if row.number == number - 1)
    written = [cell for cell in above.cells if not is_blank(cell)]
    return len(written) > 1 and all(isinstance(cell, str) for cell in written)


def _score(table: Table, number: int, lines: int) -> tuple[int, int, int]:
    """Return how many fields and units a row names, and how many lines it does not need."""
    below = headings(table, number, 1)
    named = headings(table, number, lines)
    found = {field_of(full, low) for full, low in zip(named, below, strict=True)} - {""}
    return len(found), sum(bool(unit_of(name)) for name in named), -lines
