"""How the columns of a sheet are read: guessed, chosen by a person, kept, and put onto others."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Mapping as Map
from dataclasses import dataclass, field
from typing import Any

from workdays.spreadsheets import texts
from workdays.spreadsheets.fields import BY_KEY, Sort
from workdays.spreadsheets.headings import headings
from workdays.spreadsheets.table import Table
from workdays.spreadsheets.words import ALLOWED, IGNORED, plain

AS_WRITTEN = "written"
READINGS: dict[Sort, dict[str, str]] = {
    Sort.LENGTH: {
        "in": "inches",
        "ft": "feet",
        "cm": "centimetres",
        "mm": "millimetres",
        "m": "metres",
        AS_WRITTEN: "each as written (24 in, 2' 6\", 61 cm)",
    },
    Sort.METRES: {"m": "metres", "ft": "feet"},
    Sort.DAY: {"mdy": "month, day, year", "dmy": "day, month, year"},
}
MOST_LETTERS = 400_000


class NotAMappingError(Exception):
    """The text does not say how to read columns; the message is the sentence for people."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its heading, the field it holds ("": not read), and how its cells are read."""

    heading: str
    field: str = ""
    reads_as: str = ""


@dataclass(frozen=True)
class Mapping:
    """How a sheet is read.

    ``words`` holds what words of the sheet stand for, by field and plain word. ``section`` is for
    rows that name none; ``new_sections``: those not known yet are made; ``blank_is_none``: where
    a look has no signs written down, none were seen.
    """

    sheet: str
    header_row: int
    header_lines: int
    columns: tuple[Column, ...]
    words: dict[str, dict[str, str]] = field(default_factory=dict)
    section: str = ""
    new_sections: bool = False
    blank_is_none: bool = False

    def as_json(self) -> dict[str, Any]:
        """Return the mapping as plain values, as a file of the command holds it."""
        return {
            "sheet": self.sheet,
            "header_row": self.header_row,
            "header_lines": self.header_lines,
            "columns": [
                {"heading": one.heading, "field": one.field, "reads_as": one.reads_as}
                for one in self.columns
            ],
            "words": self.words,
            "section": self.section,
            "new_sections": self.new_sections,
            "blank_is_none": self.blank_is_none,
        }

    def refusals(self) -> list[str]:
        """Return why no row can be read like this, in sentences; empty: it can."""
        used = [one.field for one in self.columns if one.field]
        twice = sorted({key for key in used if used.count(key) > 1})
        said = [f"Two columns are read as “{BY_KEY[key].label}”: choose one." for key in twice]
        if "number" not in used:
            said.append("No column is read as the number of the stone: choose one.")
        return said


def from_text(text: str) -> Mapping:
    """Return the mapping in a JSON text."""
    if len(text) > MOST_LETTERS:
        raise NotAMappingError("The mapping is far too long.")
    try:
        told = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise NotAMappingError("The mapping is not JSON.") from error
    return from_json(told)


def from_json(told: Any) -> Mapping:
    """Return a mapping from plain values; what is not known in them is refused in a sentence."""
    if not isinstance(told, dict) or not isinstance(told.get("columns"), list):
        raise NotAMappingError("The mapping names no columns.")
    found = Mapping(
        sheet=str(told.get("sheet", "")),
        header_row=_small(told.get("header_row", 1), 1, 1_048_576, "header_row"),
        header_lines=_small(told.get("header_lines", 1), 1, 2, "header_lines"),
        columns=tuple(_column(one) for one in told["columns"]),
        words=_words(told.get("words", {})),
        section=_section(told.get("section")),
        new_sections=told.get("new_sections") is True,
        blank_is_none=told.get("blank_is_none") is True,
    )
    return found


def _small(value: Any, low: int, high: int, name: str) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not low <= value <= high:
        raise NotAMappingError(f"“{name}” of the mapping must be a number from {low} to {high}.")
    return value


def _section(value: Any) -> str:
    """Return the name of a section as a cell of a sheet would give it."""
    found, most = texts.line("" if value is None else str(value)), BY_KEY["section"].most
    if len(found) > most:
        raise NotAMappingError(f"“section” of the mapping is longer than {most} letters.")
    return found


def _column(told: Any) -> Column:
    if not isinstance(told, dict):
        raise NotAMappingError("Each column of the mapping needs a heading and a field.")
    heading, key = str(told.get("heading", "")), str(told.get("field", ""))
    reads_as = str(told.get("reads_as", ""))
    if not key:
        return Column(heading)
    if key not in BY_KEY:
        raise NotAMappingError(f"The mapping reads “{heading}” as “{key}”, which is no field.")
    allowed = READINGS.get(BY_KEY[key].sort, {"": ""})
    if reads_as not in allowed:
        known = ", ".join(allowed) or "nothing"
        raise NotAMappingError(
            f"The mapping reads “{heading}” as “{reads_as}”; it can be one of: {known}."
        )
    return Column(heading, key, reads_as)


def _words(told: Any) -> dict[str, dict[str, str]]:
    if not isinstance(told, dict):
        raise NotAMappingError("“words” of the mapping must hold words by field.")
    found: dict[str, dict[str, str]] = {}
    for key, words in told.items():
        if key not in ALLOWED or not isinstance(words, dict):
            raise NotAMappingError(f"“{key}” of the mapping's words is no field with words.")
        for word, meant in words.items():
            if meant != IGNORED and str(meant) not in ALLOWED[key]:
                raise NotAMappingError(f"“{word}” cannot stand for “{meant}” in the mapping.")
        found[key] = {plain(str(word)): str(meant) for word, meant in words.items()}
    return found


def onto(kept: Mapping, table: Table, guessed: Mapping) -> Mapping:
    """Return a kept mapping for another sheet: columns by their headings, the rest as guessed."""
    row, lines = guessed.header_row, guessed.header_lines
    if kept.header_row != row and _share(kept, table, kept.header_row, kept.header_lines) > _share(
        kept, table, row, lines
    ):
        row, lines = kept.header_row, kept.header_lines
    known: dict[str, list[Column]] = defaultdict(list)
    for one in kept.columns:
        known[plain(one.heading)].append(one)
    guesses = dict(enumerate(guessed.columns))
    columns, used = [], set[str]()
    for n, heading in enumerate(headings(table, row, lines)):
        same = known.get(plain(heading))
        one = same.pop(0) if same else guesses.get(n, Column(heading))
        again = one.field in used or (not same and one.field in _fields_of(known))
        columns.append(Column(heading) if again else Column(heading, one.field, one.reads_as))
        used.add(one.field or heading)
    return Mapping(
        table.sheet,
        row,
        lines,
        tuple(columns),
        kept.words,
        kept.section,
        kept.new_sections,
        kept.blank_is_none,
    )


def _fields_of(known: Map[str, list[Column]]) -> set[str]:
    """Return the fields that columns still to be found hold."""
    return {one.field for rest in known.values() for one in rest if one.field}


def _share(kept: Mapping, table: Table, row: int, lines: int) -> int:
    named = {plain(one.heading) for one in kept.columns if one.field}
    return len(named & {plain(heading) for heading in headings(table, row, lines)})
