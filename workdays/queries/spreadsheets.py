"""The ground as a sheet sees it, and a sheet judged against it; nothing is written."""

import hashlib
from collections import Counter, defaultdict
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.core.cache import cache

from workdays.models import Cemetery, SheetImport, Stone, Survey
from workdays.spreadsheets.fields import STONE_FIELDS, SURVEY_COLUMNS, SURVEY_FIELDS
from workdays.spreadsheets.guessing import cautions, guess, with_readings
from workdays.spreadsheets.judging import Ground, Judged, StoneNow, judge
from workdays.spreadsheets.mapping import Mapping, NotAMappingError, from_json, onto
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.rows import read_rows
from workdays.spreadsheets.table import NotASheetError, Table

STONE_COLUMNS = [field.key for field in STONE_FIELDS if field.key != "section"]
LOOK_KEYS = [field.key for field in SURVEY_FIELDS]
LOOK_COLUMNS = [SURVEY_COLUMNS.get(key, key) for key in LOOK_KEYS]
REMEMBERED_SECONDS = 3600
MOST_CELLS = 400_000
READING = 1  # counted up whenever what a reader gives, or a table holds, changes
GONE = "The file of this sheet is no longer here: choose it again."


@dataclass(frozen=True)
class Tried:
    """A sheet read and judged. ``unknown`` counts words that nobody knows, by field."""

    mapping: Mapping
    judged: Judged
    unknown: dict[str, Counter[str]]
    notes: list[str]


def stones_now(cemetery: Cemetery) -> list[StoneNow]:
    """Return every stone with all looks at it, newest first, in the order of the ground."""
    looks = _looks(cemetery)
    rows = (
        Stone.objects.filter(cemetery=cemetery)
        .order_by("section__order", "section", "row", "position", "pk")
        .values("pk", "section__name", *STONE_COLUMNS)
    )
    return [_stone(row, looks) for row in rows.iterator(2000)]


def _stone(row: dict[str, Any], looks: dict[int, list[dict[str, Any]]]) -> StoneNow:
    pk, section = row.pop("pk"), row.pop("section__name")
    return StoneNow(pk, {"section": section, **row}, tuple(looks.get(pk, ())))


def _looks(cemetery: Cemetery) -> dict[int, list[dict[str, Any]]]:
    rows = (
        Survey.objects.filter(stone__cemetery=cemetery)
        .order_by("stone", "-on", "-pk")
        .values_list("stone", *LOOK_COLUMNS)
    )
    found: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for stone, *values in rows.iterator(2000):
        look = dict(zip(LOOK_KEYS, values, strict=True))
        look["lean_direction"] = look["lean_direction"] or None
        found[stone].append(look)
    return found


def section_names(cemetery: Cemetery) -> list[str]:
    """Return the sections of a cemetery by name, in their order."""
    return list(cemetery.sections.order_by("order", "pk").values_list("name", flat=True))


def try_sheet(cemetery: Cemetery, table: Table, mapping: Mapping, *, today: date) -> Tried:
    """Return what a sheet would lead to at a cemetery as it is now. The mapping has no refusals."""
    found = read_rows(table, mapping, today)
    ground = Ground(
        stones_now(cemetery),
        tuple(section_names(cemetery)),
        today,
        section=mapping.section,
        new_sections=mapping.new_sections,
        blank_is_none=mapping.blank_is_none,
    )
    judged = judge(found.rows, ground)
    notes = [*table.notes, *found.notes, *cautions(table, mapping)]
    return Tried(mapping, judged, found.unknown, notes)


def table_of(sheet: SheetImport, *, page: str | None = None) -> Table:
    """Return the table in a kept file; ``page`` names another sheet of its workbook.

    A workbook of ten thousand rows takes seconds to read, and every page of its import wants it:
    for an hour it is remembered as it was read. Raises NotASheetError when the file is gone.
    """
    wanted = str(sheet.mapping.get("sheet", "")) if page is None else page
    try:
        with sheet.file.open("rb") as file:
            table: Table | None = cache.get(_key(sheet, wanted))
            if table is not None:
                return table
            octets = file.read()
    except (OSError, ValueError):
        raise NotASheetError(GONE) from None
    table = read(octets, sheet.file_name, wanted)
    _remember(sheet, wanted, table)
    return table


def remember(sheet: SheetImport, table: Table) -> None:
    """Remember the table of a file that was read just now, before it was kept as this sheet."""
    wanted = str(sheet.mapping.get("sheet", ""))
    if wanted in ("", table.sheet):
        _remember(sheet, wanted, table)


def _remember(sheet: SheetImport, wanted: str, table: Table) -> None:
    if len(table.rows) * table.width <= MOST_CELLS:
        cache.set(_key(sheet, wanted), table, REMEMBERED_SECONDS)


def _key(sheet: SheetImport, wanted: str) -> str:
    words = "\n".join([sheet.sha256, sheet.file_name, wanted])
    return f"table-{READING}-{hashlib.sha256(words.encode()).hexdigest()}"


def mapping_of(sheet: SheetImport, table: Table) -> Mapping:
    """Return how a kept sheet is read: as it was chosen, else as guessed."""
    try:
        return from_json(sheet.mapping)
    except NotAMappingError:
        return first_mapping(sheet.cemetery, table)


def first_mapping(cemetery: Cemetery, table: Table) -> Mapping:
    """Return the likely reading of a new sheet.

    As the last one brought in here, where its headings stand in this one; else a guess, in which
    words stand for what somebody chose then.
    """
    names = section_names(cemetery)
    guessed = guess(table, section=names[0] if len(names) == 1 else "")
    last = SheetImport.objects.filter(cemetery=cemetery, state=SheetImport.State.DONE)
    for sheet in last.order_by("-done_at", "-pk")[:1]:
        try:
            return _as_last(from_json(sheet.mapping), table, guessed)
        except NotAMappingError:
            break
    return guessed


def read_again(sheet: SheetImport, *, page: str, row: int, lines: int) -> Mapping:
    """Return how a kept sheet is likely read when its headings stand elsewhere.

    What was chosen stays where the headings do. Raises NotASheetError when the file is gone.
    """
    table = table_of(sheet, page=page)
    kept = replace(mapping_of(sheet, table), header_row=row, header_lines=lines)
    found = _as_last(kept, table, guess(table, row=row, lines=lines))
    return replace(
        found,
        section=kept.section,
        new_sections=kept.new_sections,
        blank_is_none=kept.blank_is_none,
    )


def _as_last(last: Mapping, table: Table, guessed: Mapping) -> Mapping:
    found = with_readings(table, onto(last, table, guessed))
    if found.refusals() or _columns_read(found) < _columns_read(guessed):
        return replace(guessed, words=last.words)
    return found


def _columns_read(mapping: Mapping) -> int:
    return sum(bool(column.field) for column in mapping.columns)
