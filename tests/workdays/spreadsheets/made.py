"""Files as people hand them in, made in memory."""

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from openpyxl import Workbook

from workdays.spreadsheets.guessing import guess
from workdays.spreadsheets.judging import Ground, Judged, StoneNow, judge
from workdays.spreadsheets.mapping import Mapping
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.rows import read_rows

TODAY = date(2026, 5, 6)


def workbook(rows: Iterable[Any], **pages: Iterable[Any]) -> bytes:
    """Return a workbook with these rows on its first page, and further pages by name."""
    book = Workbook()
    page = book.active
    assert page is not None
    for row in rows:
        page.append(list(row))
    for name, more in pages.items():
        other = book.create_sheet(name)
        for row in more:
            other.append(list(row))
    return saved(book)


def saved(book: Workbook) -> bytes:
    """Return a workbook as octets."""
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def with_part(octets: bytes, name: str, content: bytes) -> bytes:
    """Return an archive in which one part holds something else."""
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(octets)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for part in old.namelist():
            if part != name:
                new.writestr(part, old.read(part))
        new.writestr(name, content)
    return out.getvalue()


def without_value(octets: bytes, cell: str) -> bytes:
    """Return a workbook whose formula in one cell was saved without what it shows."""
    name = "xl/worksheets/sheet1.xml"
    with zipfile.ZipFile(io.BytesIO(octets)) as archive:
        content = archive.read(name)
    bare = re.sub(rf'(<c r="{cell}"[^>]*>.*?</f>)<v ?/?>(?:</v>)?'.encode(), rb"\1", content)
    return with_part(octets, name, bare)


def judged(
    octets: bytes,
    *stones: StoneNow,
    sections: Sequence[str] = ("Old",),
    mapping: Mapping | None = None,
    **ground: Any,
) -> Judged:
    """Read a file by the guessed mapping and judge it against stones."""
    table = read(octets)
    rows = read_rows(table, mapping or guess(table), TODAY)
    return judge(rows.rows, Ground(list(stones), tuple(sections), TODAY, **ground))


def sentences(found: Judged) -> list[str]:
    """Return every problem in words."""
    return [problem.sentence for problem in found.problems()]
