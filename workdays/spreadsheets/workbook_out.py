"""Cells written as XLSX, a row at a time."""

import io
from collections.abc import Iterable, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell

SHEET = "Stones"


def write(headings: Sequence[str], widths: Sequence[int], rows: Iterable[Iterable[Any]]) -> bytes:
    """Return rows below their headings as XLSX; text is text there, whatever it begins with."""
    book = Workbook(write_only=True)
    page = book.create_sheet(SHEET)
    page.freeze_panes = "B2"
    for n, width in enumerate(widths):
        page.column_dimensions[_letters(n)].width = width
    page.append(list(headings))
    for row in rows:
        page.append([_typed(page, value) for value in row])
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _letters(column: int) -> str:
    from_a = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    return from_a[column] if column < 26 else f"A{from_a[column - 26]}"


def _typed(page: Any, value: Any) -> Any:
    if not isinstance(value, str):
        return value
    cell = WriteOnlyCell(page, value=value)
    cell.data_type = "s"
    return cell
