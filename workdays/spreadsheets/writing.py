"""Stones and their last looks as a sheet, in the shape that the import reads back unchanged."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any

from workdays.spreadsheets import texts
from workdays.spreadsheets.fields import FIELDS, STONE_FIELDS, SURVEY_FIELDS, Field, Sort
from workdays.spreadsheets.judging import StoneNow
from workdays.spreadsheets.words import ALLOWED, NONE_SEEN

HEADINGS = tuple(field.label for field in FIELDS)
# A byte order mark, so that spreadsheet programs read UTF-8.
MARK = "\ufeff"
WIDTHS = {"number": 12, "section": 16, "name_on_stone": 26, "notes": 40, "signs": 30}


def to_text(stones: Iterable[StoneNow]) -> Iterator[str]:
    """Give the sheet as CSV (RFC 4180), line by line."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADINGS)
    yield MARK + out.getvalue()
    for stone in stones:
        out.seek(0)
        out.truncate()
        writer.writerow([_text(value) for value in _cells(stone)])
        yield out.getvalue()


def to_workbook(stones: Iterable[StoneNow]) -> bytes:
    """Return the sheet as XLSX; text is text there, whatever it begins with."""
    # As for reading: loaded where a workbook is written.
    from workdays.spreadsheets.workbook_out import write

    widths = [WIDTHS.get(field.key, 14) for field in FIELDS]
    return write(HEADINGS, widths, (_cells(stone) for stone in stones))


def _text(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, date):
        return value.isoformat()
    return repr(value) if isinstance(value, float) else str(value)


def _cells(stone: StoneNow) -> Iterator[Any]:
    for field in STONE_FIELDS:
        yield _cell(field, stone.values.get(field.key))
    last = stone.looks[0] if stone.looks else {}
    for field in SURVEY_FIELDS:
        yield _cell(field, last.get(field.key))


def _cell(field: Field, value: Any) -> Any:
    if value is None:
        return None
    if field.sort is Sort.LINE:
        return texts.harmless(texts.line(str(value)))
    if field.sort is Sort.TEXT:
        return texts.harmless(texts.paragraph(str(value)))
    if field.sort is Sort.WORD:
        return ALLOWED[field.key].get(value)
    if field.sort is Sort.WORDS:
        words = ALLOWED[field.key]
        return "; ".join(words[one] for one in value) if value else words[NONE_SEEN]
    return value
