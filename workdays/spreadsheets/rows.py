"""The rows of a sheet as values by field, with every problem in words."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from workdays.spreadsheets.cells import (
    NotReadError,
    OutOfBoundsError,
    Reading,
    UnknownWordError,
    read_cell,
)
from workdays.spreadsheets.fields import BY_KEY
from workdays.spreadsheets.headings import headings
from workdays.spreadsheets.mapping import Mapping
from workdays.spreadsheets.table import Row, Table, address, is_blank, short, shown
from workdays.spreadsheets.words import plain

TOTALS = re.compile(r"(?:grand |sub[- ]?)?totals?\b.*|sum|count|average|mean", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a row cannot be imported. ``absurd`` names the field whose value is only out of bounds:
    a stone that bears this very value already is not judged by it again.
    """

    row: int
    sentence: str
    absurd: str = ""


@dataclass(slots=True)
class SheetRow:
    """One row as values by field; a blank cell gives no value."""

    number: int
    values: dict[str, Any] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


@dataclass(frozen=True)
class Rows:
    """What a sheet holds below its heading.

    ``unknown`` counts the words nobody knows, by field. ``notes`` say which rows were passed over.
    """

    rows: list[SheetRow]
    unknown: dict[str, Counter[str]]
    notes: list[str]


def read_rows(table: Table, mapping: Mapping, today: date) -> Rows:
    """Return the rows below the heading. The mapping has no refusals."""
    readings = {
        n: Reading(
            BY_KEY[one.field],
            one.reads_as,
            mapping.words.get(one.field, {}),
            today,
            table.days_from,
        )
        for n, one in enumerate(mapping.columns)
        if one.field
    }
    head = [plain(name) for name in headings(table, mapping.header_row, 1)]
    rows: list[SheetRow] = []
    unknown: dict[str, Counter[str]] = {}
    passed: dict[str, list[int]] = {}
    for row in table.rows:
        if row.number <= mapping.header_row:
            continue
        if why := _passed_over(row, readings, head):
            passed.setdefault(why, []).append(row.number)
            continue
        rows.append(_read(row, readings, unknown))
    return Rows(rows, unknown, [_note(why, numbers) for why, numbers in passed.items()])


def _passed_over(row: Row, readings: dict[int, Reading], head: list[str]) -> str:
    """Return why a row is none of a stone; "" when it is one."""
    first = next((cell for cell in row.cells if not is_blank(cell)), None)
    numbers = [row.cell(n) for n, how in readings.items() if how.field.key == "number"]
    numbered = any(not is_blank(number) and number != first for number in numbers)
    if not numbered and isinstance(first, str) and TOTALS.fullmatch(first.strip().rstrip(":")):
        return "totals"
    if all(is_blank(row.cell(column)) for column in readings):
        return "nothing in the columns that are read"
    written = [plain(shown(cell)) for cell in row.cells]
    if len(written) > 1 and written == head[: len(written)]:
        return "the headings again"
    return ""


def _note(why: str, numbers: list[int]) -> str:
    named = ", ".join(str(number) for number in numbers[:8])
    more = f" and {len(numbers) - 8} more" if len(numbers) > 8 else ""
    word = "Row" if len(numbers) == 1 else "Rows"
    return f"{word} {named}{more}: passed over ({why})."


def _read(row: Row, readings: dict[int, Reading], unknown: dict[str, Counter[str]]) -> SheetRow:
    found = SheetRow(row.number)
    for column, how in readings.items():
        cell = row.cell(column)
        if is_blank(cell):
            continue
        key = how.field.key
        try:
            value = read_cell(cell, how)
            if value is not None:
                found.values[key] = value
        except UnknownWordError as error:
            unknown.setdefault(key, Counter()).update(plain(word) for word in error.unknown)
            found.problems.append(_problem(row, column, how, str(error), whole=True))
        except OutOfBoundsError as error:
            found.values[key] = error.value
            found.problems.append(_problem(row, column, how, str(error), absurd=key))
        except NotReadError as error:
            found.problems.append(_problem(row, column, how, str(error)))
    return found


def _problem(
    row: Row, column: int, how: Reading, words: str, *, absurd: str = "", whole: bool = False
) -> Problem:
    """Return a problem: Row 14, Height (C14): “tall” is not a length."""
    label = re.sub(r" \((?:cm|m)\)$", "", how.field.label)
    sentence = whole or words[0].isupper() or words.startswith(("holds ", "“"))
    said = words if sentence else f"“{short(row.cell(column))}” {words}"
    end = "" if said.endswith(".") else "."
    where = f"Row {row.number}, {label} ({address(row.number, column)})"
    return Problem(row.number, f"{where}: {said}{end}", absurd)
