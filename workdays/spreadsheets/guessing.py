"""A first reading of a sheet, by its headings and its values; what is doubtful is said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import islice
from statistics import median

from workdays.spreadsheets import days, lengths
from workdays.spreadsheets.fields import BY_KEY, Sort
from workdays.spreadsheets.headings import field_of, guess_row, headings, unit_of
from workdays.spreadsheets.mapping import AS_WRITTEN, READINGS, Column, Mapping
from workdays.spreadsheets.table import Table, Value, is_blank

LOOKED_AT = 400
# Heights of markers in each unit, common practice, no source: a tablet is 2 to 5 ft high.
UP_TO = ((2.5, "m"), (7.5, "ft"), (66.0, "in"), (400.0, "cm"))


def guess(table: Table, *, row: int | None = None, lines: int = 1, section: str = "") -> Mapping:
    """Return the likely reading of a sheet; ``row`` and ``lines`` where a person chose them."""
    if row is None:
        row, lines = guess_row(table)
    named, below = headings(table, row, lines), headings(table, row, 1)
    columns: list[Column] = []
    used: set[str] = set()
    for n, (heading, low) in enumerate(zip(named, below, strict=True)):
        key = field_of(heading, low if lines > 1 else "")
        if key in used:  # the lower line alone said too little: "marker" under "Kind of"
            key = field_of(heading)
        columns.append(Column(heading, "" if key in used else key))
        used.add(key or f"column {n}")
    return with_readings(table, Mapping(table.sheet, row, lines, tuple(columns), section=section))


def with_readings(table: Table, mapping: Mapping) -> Mapping:
    """Return a mapping in which each measure has a unit and each day an order."""
    usual = _usual_unit(table, mapping)
    columns = tuple(
        one
        if _has_reading(one)
        else Column(one.heading, one.field, _reading(table, mapping, n, usual))
        for n, one in enumerate(mapping.columns)
    )
    kept = vars(mapping) | {"columns": columns}
    return Mapping(**kept)


def _has_reading(one: Column) -> bool:
    if not one.field:
        return True
    allowed = READINGS.get(BY_KEY[one.field].sort)
    return allowed is None or one.reads_as in allowed


def _reading(table: Table, mapping: Mapping, column: int, usual: str) -> str:
    one = mapping.columns[column]
    sort = BY_KEY[one.field].sort
    if sort is Sort.DAY:
        return days.guess_order(cells(table, mapping, column))[0]
    named = unit_of(one.heading)
    if sort is Sort.METRES:
        return named if named in READINGS[sort] else "m"
    return named or (AS_WRITTEN if _names_units(table, mapping, column) else usual)


def cells(table: Table, mapping: Mapping, column: int) -> Iterator[Value]:
    """Give the cells of a column below its heading that are not blank."""
    for row in table.rows:
        if row.number > mapping.header_row and not is_blank(row.cell(column)):
            yield row.cell(column)


def _names_units(table: Table, mapping: Mapping, column: int) -> bool:
    seen = list(islice(cells(table, mapping, column), LOOKED_AT))
    with_unit = sum(isinstance(cell, str) and lengths.has_unit(cell) for cell in seen)
    return bool(seen) and with_unit > len(seen) / 2


def _usual_unit(table: Table, mapping: Mapping) -> str:
    """Return the unit of a measure that names none: as others here, else by how high stones are."""
    measures = [
        (n, one)
        for n, one in enumerate(mapping.columns)
        if one.field and BY_KEY[one.field].sort is Sort.LENGTH
    ]
    units = [unit_of(one.heading) for _, one in measures]
    if known := next((unit for unit in units if unit), ""):
        return known
    heights = [n for n, one in measures if one.field == "height_cm"]
    found = _numbers(cells(table, mapping, heights[0])) if heights else []
    if not found:
        return "in"
    middle = median(found)
    return next((unit for most, unit in UP_TO if middle <= most), "mm")


def _numbers(values: Iterable[Value]) -> list[float]:
    found = []
    for value in islice(values, LOOKED_AT):
        try:
            found.append(float(value))  # type: ignore[arg-type]  # text that is no number raises
        except (TypeError, ValueError, OverflowError):
            continue
    return found


def cautions(table: Table, mapping: Mapping) -> list[str]:
    """Return what was guessed without anything in the sheet that decides it, in sentences."""
    return [
        sentence
        for n, one in enumerate(mapping.columns)
        if one.field
        for sentence in _caution(table, mapping, n, one)
    ]


def _caution(table: Table, mapping: Mapping, column: int, one: Column) -> list[str]:
    sort = BY_KEY[one.field].sort
    if sort is Sort.DAY:
        found = list(cells(table, mapping, column))
        if any(days.is_two_ways(cell) for cell in found) and not days.guess_order(found)[1]:
            words = READINGS[sort][one.reads_as]
            return [
                f"Days under “{one.heading}” can be read in two ways: they are read as {words}."
            ]
    if sort is Sort.LENGTH and one.reads_as != AS_WRITTEN and not unit_of(one.heading):
        words = READINGS[sort][one.reads_as]
        return [f"The heading “{one.heading}” names no unit: plain numbers are read as {words}."]
    return []
