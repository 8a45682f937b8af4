"""What a reader gives: rows of plain values with their addresses, and what was guessed."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

# Spreadsheets count days from 1899-12-30 (ECMA-376 part 1, 18.17.4.1, from 1 March 1900 on).
DAYS_FROM = date(1899, 12, 30)


class NotASheetError(Exception):
    """The octets are no table that can be read; the message is the sentence for people."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """A cell that holds no value; ``words`` says what it holds instead."""

    words: str


Value = str | int | float | bool | date | datetime | time | timedelta | Flaw | None


@dataclass(frozen=True, slots=True)
class Row:
    """One row that is not blank; ``number`` is the one a spreadsheet shows beside it."""

    number: int
    cells: tuple[Value, ...]

    def cell(self, column: int) -> Value:
        """Return one cell; beyond the end of the row it is blank."""
        return self.cells[column] if column < len(self.cells) else None


@dataclass(frozen=True)
class Table:
    """One sheet. ``sheets`` names all that hold something, ``notes`` are sentences on the reading.

    ``guessed`` holds the rows in which a letter was guessed, because the file mixes encodings;
    ``days_from`` is the day that the file counts as number 0.
    """

    sheet: str
    rows: list[Row]
    sheets: tuple[str, ...] = ()
    notes: list[str] = field(default_factory=list)
    guessed: tuple[int, ...] = ()
    days_from: date = DAYS_FROM

    @property
    def width(self) -> int:
        """Return how many columns the widest row has."""
        return max((len(row.cells) for row in self.rows), default=0)


def letter(column: int) -> str:
    """Return the letters that a spreadsheet shows above a column; the first is 0, "A"."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(65 + rest) + letters
    return letters


def address(row: int, column: int) -> str:
    """Return the address of a cell: "C12"."""
    return f"{letter(column)}{row}"


def is_blank(value: Value) -> bool:
    """Return whether nothing is written in a cell."""
    return value is None or (isinstance(value, str) and not value.strip())


def shown(value: Value) -> str:
    """Return a cell as people read it: whole numbers without a point, days as ISO 8601."""
    if value is None:
        return ""
    if isinstance(value, Flaw):
        return value.words
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float):
        return f"{value:.15g}"
    if isinstance(value, datetime) and (value.hour, value.minute, value.second) == (0, 0, 0):
        return value.date().isoformat()
    return str(value)


def short(value: Value, most: int = 40) -> str:
    """Return a cell for a sentence, cut where it is long."""
    text = " ".join(shown(value).split())
    return text if len(text) <= most else f"{text[: most - 1]}…"
