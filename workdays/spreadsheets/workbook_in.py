"""A table from an XLSX workbook, read row by row; what formulas show, never the formulas."""

from __future__ import annotations

import io
import re
import warnings
import zipfile
from collections.abc import Iterator
from typing import Any

from openpyxl import load_workbook
from openpyxl.cell.read_only import EMPTY_CELL

from workdays.spreadsheets import limits
from workdays.spreadsheets.table import Flaw, NotASheetError, Row, Table, Value

NO_VALUE = Flaw("a formula without a value: open the file, save it, and it keeps its values")
# A number shown with leading zeros by its format is written with them: 7 as 007.
ZEROS = re.compile(r"0{2,12}")
FORMULA = re.compile(rb"<(?:\w+:)?f[\s/>]")
BROKEN = "The workbook is broken: a part of it cannot be read. Open it, save it again, try again."


def from_workbook(octets: bytes, sheet: str = "") -> Table:
    """Return one sheet of a workbook: the named one, else the first that holds a table."""
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # styles and extensions that are of no concern here
            return _read(octets, sheet)
    except NotASheetError:
        raise
    except Exception as error:  # a broken file raises anything in its reader
        raise NotASheetError(BROKEN) from error


def _read(octets: bytes, sheet: str) -> Table:
    book = load_workbook(io.BytesIO(octets), read_only=True, data_only=True, keep_links=False)
    try:
        holding = [one for one in book.worksheets if any(_rows(one, most=2))]
        if not holding:
            raise NotASheetError("The workbook holds no sheet with anything in it.")
        chosen = next((one for one in holding if one.title == sheet), None) or _first(holding)
        rows, notes = _all_rows(chosen)
        if _has_formula(octets):
            rows = _with_flaws(octets, chosen.title, rows)
        names = tuple(one.title for one in holding)
        return Table(chosen.title, rows, names, notes, days_from=book.epoch.date())
    finally:
        book.close()


def _first(pages: list[Any]) -> Any:
    """Return the first sheet of at least two rows and two columns, else the first.

    Hidden sheets come after those that people see.
    """
    pages = sorted(pages, key=lambda page: page.sheet_state != "visible")
    for page in pages:
        rows = list(_rows(page, most=6))
        if len(rows) > 1 and max(len(row.cells) for row in rows) > 1:
            return page
    return pages[0]


def _all_rows(page: Any) -> tuple[list[Row], list[str]]:
    rows: list[Row] = []
    cells, ended = 0, 0
    for row in _rows(page):
        if row.number < 0:
            ended = -row.number
            break
        rows.append(row)
        cells += len(row.cells)
        limits.check_cells(cells)
        if len(rows) > limits.MOST_ROWS:
            raise limits.too_many_rows()
    if not ended:
        return rows, []
    sentence = (
        f"After row {ended} come {limits.MOST_BLANK_ROWS:,} empty rows: reading stopped there."
    )
    return rows, [sentence]


def _rows(page: Any, most: int = 0) -> Iterator[Row]:
    """Give the rows that are not blank, at most so many.

    A last row with a negative number says after which row only blank ones came.
    """
    page.reset_dimensions()  # what a file says of its own size is often wrong
    blank, given, last = 0, 0, 0
    widths: dict[int, int] = {}
    for number, cells in enumerate(page.iter_rows(max_col=limits.MOST_COLUMNS + 1), 1):
        values = [_value(cell, widths) for cell in cells[: _width(cells)]]
        while values and values[-1] is None:
            values.pop()
        if not values:
            blank += 1
            if blank >= limits.MOST_BLANK_ROWS:
                if last:
                    yield Row(-last, ())
                return
            continue
        if len(values) > limits.MOST_COLUMNS:
            raise limits.too_many_columns()
        blank, given, last = 0, given + 1, number
        yield Row(number, tuple(values))
        if given == most:
            return


def _width(cells: tuple[Any, ...]) -> int:
    """Return how many cells a row has before the reader's own filling to the full width."""
    width = len(cells)
    while width and cells[width - 1] is EMPTY_CELL:
        width -= 1
    return width


def _value(cell: Any, widths: dict[int, int]) -> Value:
    value = cell.value
    if value is None:
        return None
    if isinstance(value, str):
        if cell.data_type == "e":
            return Flaw(f"the error {value}")
        return value if value.strip() else None
    if isinstance(value, int) and not isinstance(value, bool):
        width = _zeros(cell, widths)
        return f"{value:0{width}d}" if width else value
    return value  # type: ignore[no-any-return]  # numbers, truth, days and times


def _zeros(cell: Any, widths: dict[int, int]) -> int:
    style = cell._style_id
    if style not in widths:
        form = str(cell.number_format)
        widths[style] = len(form) if ZEROS.fullmatch(form) else 0
    return widths[style]


def _has_formula(octets: bytes) -> bool:
    """Return whether any sheet holds a formula, read in pieces."""
    with zipfile.ZipFile(io.BytesIO(octets)) as archive:
        for name in archive.namelist():
            if name.startswith("xl/worksheets/") and _part_has_formula(archive, name):
                return True
    return False


def _part_has_formula(archive: zipfile.ZipFile, name: str) -> bool:
    tail = b""
    with archive.open(name) as part:
        while piece := part.read(1 << 16):
            if FORMULA.search(tail + piece):
                return True
            tail = piece[-40:]
    return False


def _with_flaws(octets: bytes, title: str, rows: list[Row]) -> list[Row]:
    """Return the rows with a flaw in each cell whose formula was saved without its value."""
    book = load_workbook(io.BytesIO(octets), read_only=True, data_only=False, keep_links=False)
    try:
        formulas = _formulas(book[title])
    finally:
        book.close()
    known = {row.number: row for row in rows}
    for number, columns in formulas.items():
        row = known.get(number, Row(number, ()))
        cells = list(row.cells) + [None] * (max(columns) + 1 - len(row.cells))
        missing = [column for column in columns if cells[column] is None]
        for column in missing:
            cells[column] = NO_VALUE
        if missing:
            known[number] = Row(number, tuple(cells))
    return [known[number] for number in sorted(known)]


def _formulas(page: Any) -> dict[int, list[int]]:
    """Return the columns that hold a formula, by row; blank rows at the end are not read."""
    page.reset_dimensions()
    found: dict[int, list[int]] = {}
    blank = 0
    for number, cells in enumerate(page.iter_rows(max_col=limits.MOST_COLUMNS), 1):
        columns = [n for n, cell in enumerate(cells) if cell.data_type == "f"]
        if columns:
            found[number] = columns
        blank = 0 if any(cell.value is not None for cell in cells) else blank + 1
        if blank >= limits.MOST_BLANK_ROWS or len(found) > limits.MOST_ROWS:
            break
    return found
