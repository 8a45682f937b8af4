"""What was read on stones, and which stones must be read before they lose their face."""

from dataclasses import dataclass
from datetime import datetime

from django.core.paginator import Page, Paginator
from django.db.models import Exists, OuterRef, Subquery
from django.db.models.query import QuerySet

from workdays.models import Cemetery, Recording, Stone, Survey
from workdays.queries.ground import today_at
from workdays.queries.stones import StoneRow, stone_row
from workdays.rules.reading import Run, runs
from workdays.rules.triage import SIGN_WORDS, Sign

ROWS_A_PAGE = 50
LOSES_FACE = (Sign.SUGARING, Sign.FLAKING)


@dataclass(frozen=True)
class ReadingShown:
    """One reading with its lines as runs of letters, ready to be drawn."""

    row: Recording
    lines: list[tuple[Run, ...]]


@dataclass(frozen=True)
class ToRead:
    """A stone that nobody has read; ``loses`` says in words why it cannot wait, or is empty."""

    row: StoneRow
    loses: str


@dataclass(frozen=True)
class ReadingsPage:
    """Which stones of a cemetery are to be read, those that lose their face first."""

    heading: str
    read: int
    rows: list[ToRead]
    page: "Page[int]"


def readings_of(stone: Stone) -> list[ReadingShown]:
    """Return the readings of a stone with their facts, newest first."""
    rows = stone.recordings.select_related("by").prefetch_related("facts")
    return [ReadingShown(row, [runs(line) for line in row.lines]) for row in rows]


def readings_page(cemetery: Cemetery, *, page: str, now: datetime) -> ReadingsPage:
    """Return the stones that nobody has read; a page that is not there is the nearest."""
    today = today_at(cemetery, now=now)
    unread = unread_stones(cemetery)
    urgent = losing_face(unread)
    ids = set(urgent)
    ordered = [*urgent, *(pk for pk in unread.values_list("pk", flat=True) if pk not in ids)]
    sheet = Paginator(ordered, ROWS_A_PAGE).get_page(page)
    stones = Stone.objects.select_related("section", "conclusion").in_bulk(list(sheet))
    return ReadingsPage(
        heading=_heading(cemetery, len(urgent), len(ordered)),
        read=cemetery.stones.count() - len(ordered),
        rows=[ToRead(stone_row(stones[pk], on=today), urgent.get(pk, "")) for pk in sheet],
        page=sheet,
    )


def unread_stones(cemetery: Cemetery) -> "QuerySet[Stone]":
    return cemetery.stones.filter(~Exists(Recording.objects.filter(stone=OuterRef("pk"))))


def losing_face(stones: "QuerySet[Stone]") -> dict[int, str]:
    """Return the stones whose last look saw the surface going: id to what was seen."""
    last = Survey.objects.filter(stone=OuterRef("pk")).order_by("-on", "-pk")
    signs = stones.annotate(seen=Subquery(last.values("signs")[:1])).values_list("pk", "seen")
    said = {
        pk: ", ".join(SIGN_WORDS[sign] for sign in LOSES_FACE if sign.value in (seen or []))
        for pk, seen in signs
    }
    return {pk: words for pk, words in said.items() if words}


def _heading(cemetery: Cemetery, urgent: int, unread: int) -> str:
    if urgent:
        one = "1 stone loses its face and nobody has read it"
        many = f"{urgent} stones lose their face and nobody has read them"
        return f"{cemetery.name}: {one if urgent == 1 else many}"
    if unread:
        stones = "1 stone is" if unread == 1 else f"{unread} stones are"
        return f"{cemetery.name}: {stones} still to be read"
    return f"{cemetery.name}: every stone has been read"
