"""What the pages of spreadsheets show: what was brought in, how one is read, what it would do."""

from collections.abc import Mapping as Map
from dataclasses import dataclass, field
from datetime import datetime

from django.core.paginator import Page, Paginator

from workdays.models import Cemetery, SheetImport
from workdays.queries.ground import today_at
from workdays.queries.spreadsheets import (
    mapping_of,
    section_names,
    table_of,
    try_sheet,
)
from workdays.rules.counting import some
from workdays.rules.wall_clock import day_words, hour
from workdays.spreadsheets import telling
from workdays.spreadsheets.guessing import cells
from workdays.spreadsheets.judging import Outcome, Verdict
from workdays.spreadsheets.mapping import Mapping
from workdays.spreadsheets.rows import read_rows
from workdays.spreadsheets.table import NotASheetError, Table, letter, short

ROWS_A_PAGE = 50
EXAMPLES = 4
MOST_WORDS = 40
MANY_ROWS = 5_000
State = SheetImport.State
CHANGING = (Outcome.NEW, Outcome.CHANGED)


@dataclass(frozen=True)
class SheetRow:
    """One sheet in the list, and what became of it."""

    sheet: SheetImport
    words: str


@dataclass(frozen=True)
class SheetsPage:
    """The sheets of a cemetery, newest first; ``last`` is the one that can be undone."""

    heading: str
    rows: list[SheetRow]
    page: "Page[SheetImport]"
    last: int | None


def sheets_page(cemetery: Cemetery, *, page: str) -> SheetsPage:
    """Return what was brought into a cemetery, and what waits."""
    found = Paginator(SheetImport.objects.filter(cemetery=cemetery).defer("undo"), ROWS_A_PAGE)
    shown = found.get_page(page)
    stones = some(cemetery.stones.count(), "stone")
    return SheetsPage(
        heading=f"{cemetery}: {stones} as a spreadsheet, out and in",
        rows=[SheetRow(sheet, _became(sheet, cemetery)) for sheet in shown],
        page=shown,
        last=last_done(cemetery),
    )


def last_done(cemetery: Cemetery) -> int | None:
    """Return the number of the sheet that was brought in last and not undone."""
    done = SheetImport.objects.filter(cemetery=cemetery, state=State.DONE)
    return done.order_by("-done_at", "-pk").values_list("pk", flat=True).first()


def _became(sheet: SheetImport, cemetery: Cemetery) -> str:
    moments = {
        State.WAITING: ("kept, not brought in yet, since", sheet.added_at),
        State.DONE: ("brought in on", sheet.done_at),
        State.UNDONE: ("undone on", sheet.undone_at),
    }
    words, at = moments[State(sheet.state)]
    return f"{words} {_moment(at, cemetery)}" if at else words


def _moment(at: datetime, cemetery: Cemetery) -> str:
    there = at.astimezone(cemetery.zone)
    return f"{day_words(there.date())} {there.year}, {hour(there)}"


@dataclass(frozen=True)
class ColumnSeen:
    """One column that holds something: its letters, heading and a few of its cells."""

    index: int
    letters: str
    heading: str
    examples: list[str]


@dataclass(frozen=True)
class ColumnsPage:
    """How a sheet is read; ``unknown`` are (field, word, cells) that nobody knows, most first."""

    table: Table
    mapping: Mapping
    columns: list[ColumnSeen]
    unknown: list[tuple[str, str, int]]
    sections: list[str]


def columns_page(sheet: SheetImport, *, now: datetime) -> ColumnsPage:
    """Return how a kept sheet is read. Raises NotASheetError when its file is gone."""
    table = table_of(sheet)
    mapping = mapping_of(sheet, table)
    seen = [_column(table, mapping, n) for n in range(len(mapping.columns))]
    return ColumnsPage(
        table=table,
        mapping=mapping,
        columns=[one for one in seen if one.heading or one.examples],
        unknown=_unknown(sheet, table, mapping, now),
        sections=section_names(sheet.cemetery),
    )


def _column(table: Table, mapping: Mapping, n: int) -> ColumnSeen:
    found: dict[str, None] = {}
    for cell in cells(table, mapping, n):
        found[short(cell, 24)] = None
        if len(found) == EXAMPLES:
            break
    return ColumnSeen(n, letter(n), mapping.columns[n].heading, list(found))


def _unknown(
    sheet: SheetImport, table: Table, mapping: Mapping, now: datetime
) -> list[tuple[str, str, int]]:
    if mapping.refusals():
        return []
    unknown = read_rows(table, mapping, today_at(sheet.cemetery, now=now)).unknown
    counted = [(key, word, n) for key, words in unknown.items() for word, n in words.items()]
    return sorted(counted, key=lambda one: (-one[2], one[0], one[1]))[:MOST_WORDS]


@dataclass(frozen=True)
class Change:
    """One row that leads to something, in words."""

    row: int
    number: str
    words: str


@dataclass(frozen=True)
class SheetPage:
    """One sheet: what it would lead to, or led to.

    ``barred`` says why it cannot even be tried. ``left`` counts rows with problems, ``could`` those
    that would come in without them.
    """

    heading: str
    state_words: str
    sentences: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    barred: list[str] = field(default_factory=list)
    taken_off: list[str] = field(default_factory=list)
    problems: "Page[str] | None" = None
    changes: "Page[Verdict] | None" = None
    rows: list[Change] = field(default_factory=list)
    fingerprint: str = ""
    unknown: int = 0
    left: int = 0
    could: int = 0
    may_undo: bool = False

    @property
    def is_long(self) -> bool:
        """Return whether bringing it in takes so long that people should know."""
        return self.could > MANY_ROWS

    @property
    def could_words(self) -> str:
        """Return how many rows could come in, as people write it."""
        return f"{self.could:,}"


def sheet_page(sheet: SheetImport, asked: Map[str, str], *, now: datetime) -> SheetPage:
    """Return everything that the page of one sheet shows."""
    if sheet.state == State.DONE:
        return _done(sheet)
    name, became = sheet.file_name, _became(sheet, sheet.cemetery)
    try:
        table = table_of(sheet)
    except NotASheetError as error:
        return SheetPage(f"{name}: it cannot be read any more", became, barred=[str(error)])
    mapping = mapping_of(sheet, table)
    if refusals := mapping.refusals():
        return SheetPage(f"{name}: say what its columns hold", became, barred=refusals)
    return _tried(sheet, table, mapping, asked, now=now)


def _done(sheet: SheetImport) -> SheetPage:
    counts = sheet.counts
    told = [
        (counts.get("new", 0), "stone added", "stones added"),
        (counts.get("changed", 0), "known stone changed", "known stones changed"),
        (counts.get("looks", 0), "look at a stone added", "looks at stones added"),
        (counts.get("sections", 0), "section made", "sections made"),
        (counts.get("same", 0), "row was known as it was", "rows were known as they were"),
        (counts.get("problem", 0), "row with a problem left out", "rows with problems left out"),
    ]
    return SheetPage(
        heading=f"{sheet.file_name}: it is brought in",
        state_words=_became(sheet, sheet.cemetery),
        sentences=[f"{n:,} {one if n == 1 else many}." for n, one, many in told if n],
        notes=list(counts.get("notes", [])),
        taken_off=list(counts.get("taken_off", [])),
        may_undo=last_done(sheet.cemetery) == sheet.pk,
    )


def _tried(
    sheet: SheetImport, table: Table, mapping: Mapping, asked: Map[str, str], *, now: datetime
) -> SheetPage:
    cemetery = sheet.cemetery
    tried = try_sheet(cemetery, table, mapping, today=today_at(cemetery, now=now))
    counts, judged = tried.judged.counts(), tried.judged
    changing = [verdict for verdict in judged.verdicts if verdict.outcome in CHANGING]
    changes = Paginator(changing, ROWS_A_PAGE).get_page(asked.get("page", ""))
    problems = Paginator(telling.problem_words(judged), ROWS_A_PAGE)
    return SheetPage(
        heading=f"{sheet.file_name}: {telling.heading(judged)}",
        state_words=_became(sheet, cemetery),
        sentences=telling.summary(judged),
        notes=tried.notes,
        problems=problems.get_page(asked.get("problems", "")),
        changes=changes,
        rows=[Change(one.row, one.number, telling.would_change(one)) for one in changes],
        fingerprint=judged.fingerprint(),
        unknown=sum(len(words) for words in tried.unknown.values()),
        left=counts["problem"],
        could=len(changing),
    )
