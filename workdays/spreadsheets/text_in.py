"""A table from text: the delimiter and the encoding are found out, also where a file mixes them."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Iterator
from itertools import chain, islice

from workdays.spreadsheets import limits
from workdays.spreadsheets.table import NotASheetError, Row, Table, Value

DELIMITERS = (",", ";", "\t", "|")
LOOKED_AT = 60
# RFC 3629, 3 and ISO/IEC 10646: what stands before text to tell its encoding.
BOMS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"))
END = "\0end"  # no text holds it
NOT_TEXT = "This is not a table: it holds bytes that no text has. Save it as XLSX or CSV."


def from_text(octets: bytes) -> Table:
    """Return the table in a text file."""
    text, guessed_lines = decoded(octets)
    if "\0" in text:
        raise NotASheetError(NOT_TEXT)
    text, told = _told_delimiter(text)
    guessed: list[int] = []
    rows: list[Row] = []
    for number, cells, lines in _records(text, told or _delimiter(text)):
        if guessed_lines and guessed_lines.intersection(lines):
            guessed.append(number)
        if any(cell.strip() for cell in cells):
            rows.append(Row(number, _trimmed(cells)))
            if len(rows) > limits.MOST_ROWS:
                raise limits.too_many_rows()
    limits.check_cells(sum(len(row.cells) for row in rows))
    if not rows:
        raise NotASheetError("The file holds no row with anything in it.")
    return Table(sheet="", rows=rows, guessed=tuple(guessed))


def decoded(octets: bytes) -> tuple[str, set[int]]:
    """Return the text, and the lines (from 1) in which a letter was guessed.

    UTF-8 and UTF-16 by their marks, UTF-16 without a mark by its zeros, else UTF-8; a line that
    is not UTF-8 is read as Windows-1252, line by line, because files grow out of pastes.
    """
    for mark, encoding in BOMS:
        if octets.startswith(mark):
            return _whole(octets.removeprefix(mark), encoding)
    return _whole(octets, _without_mark(octets) or "utf-8")


def _whole(octets: bytes, encoding: str) -> tuple[str, set[int]]:
    try:
        return octets.decode(encoding), set()
    except UnicodeDecodeError:
        if encoding != "utf-8":
            raise NotASheetError(
                "The text is cut off or broken (UTF-16). Save it again as CSV in UTF-8."
            ) from None
    lines, guessed = [], set()
    for number, line in enumerate(octets.replace(b"\r\n", b"\n").split(b"\n"), 1):
        try:
            lines.append(line.decode("utf-8"))
        except UnicodeDecodeError:
            lines.append(line.decode("cp1252", errors="replace"))
            guessed.add(number)
    return "\n".join(lines), guessed


def _without_mark(octets: bytes) -> str | None:
    head = octets[:2000]
    if b"\0" not in head or len(head) < 4:
        return None
    even, odd = head[0::2].count(0), head[1::2].count(0)
    half = len(head) // 2
    if odd > half * 0.6 and even < half * 0.1:
        return "utf-16-le"
    if even > half * 0.6 and odd < half * 0.1:
        return "utf-16-be"
    return None


def _told_delimiter(text: str) -> tuple[str, str | None]:
    """Return the text, and the delimiter that a first line "sep=;" names; the line stays blank."""
    first, end, rest = text.partition("\n")
    word = first.strip("\r").lower()
    if len(word) == 5 and word.startswith("sep=") and word[4] in DELIMITERS:
        return end + rest, word[4]
    return text, None


def _delimiter(text: str) -> str:
    """Return the delimiter under which most of the first rows have the same width, above one."""
    return max(DELIMITERS, key=lambda one: _evenness(text, one))


def _evenness(text: str, delimiter: str) -> tuple[int, int]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    try:
        rows = [row for row in islice(reader, LOOKED_AT) if row]
    except csv.Error:
        return 0, 0
    widths = Counter(len(row) for row in rows if len(row) > 1)
    if not widths:
        return 0, 0
    width, count = max(widths.items(), key=lambda item: (item[1], item[0]))
    return count, width


def _records(text: str, delimiter: str) -> Iterator[tuple[int, list[str], range]]:
    # The reader takes an open quotation mark as closed by the end of the file: what stands after
    # it would be one cell, so a last line of its own has to come out as it went in.
    lines = chain(io.StringIO(text, newline=""), ["\n", END])
    reader = csv.reader(lines, delimiter=delimiter)
    before, number = 0, 0
    while True:
        try:
            cells = next(reader)
        except csv.Error as error:
            raise _breaks_off(number + 1) from error
        number += 1
        if cells == [END]:
            return
        if cells and cells[-1].endswith(END):
            raise _breaks_off(number)
        if len(cells) > limits.MOST_COLUMNS and any(cells[limits.MOST_COLUMNS :]):
            raise limits.too_many_columns()
        yield number, cells[: limits.MOST_COLUMNS], range(before + 1, reader.line_num + 1)
        before = reader.line_num


def _breaks_off(row: int) -> NotASheetError:
    return NotASheetError(
        f"The text breaks off in row {row}: a quotation mark is opened there and never closed, "
        "or a cell is far too long."
    )


def _trimmed(cells: list[str]) -> tuple[Value, ...]:
    while cells and not cells[-1].strip():
        cells.pop()
    return tuple(cell or None for cell in cells)
