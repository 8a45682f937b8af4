"""The page of one loose piece: what is known, its likely homes side by side, what was said."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from coordinator.models import AuditEntry
from workdays.models import FitJudgement, LoosePiece, Photograph, Stone
from workdays.queries.ground import stones_of, today_at
from workdays.queries.history import Event, stone_history
from workdays.queries.photographs import Pictures, pictures_of
from workdays.queries.piece_facts import broken_stones, piece_facts, stone_facts, word_of
from workdays.queries.stones import StoneRow, stone_row
from workdays.rules.counting import joined
from workdays.rules.homes import Home, compare, homes
from workdays.rules.pieces import Word

MOST_HOMES = 6
CHANGES = {
    "place": "the place",
    "found_on": "the day it was found",
    "thickness_cm": "thickness",
    "width_cm": "width",
    "height_cm": "height",
    "east_m": "metres east",
    "north_m": "metres north",
}


@dataclass(frozen=True)
class WordRow:
    """What a person said of this piece and a stone."""

    judgement: FitJudgement
    word: Word


@dataclass(frozen=True)
class HomeRow:
    """A stone beside the piece: its state, its newest picture, the reasons, a word if any."""

    row: StoneRow
    home: Home
    picture: Photograph | None
    said: WordRow | None = None


@dataclass(frozen=True)
class PieceEvent:
    """One thing that happened to a piece, in a sentence."""

    on: date
    sentence: str
    why: str


@dataclass(frozen=True)
class PiecePage:
    """Everything that the page of one piece shows; ``home`` is where it belongs.

    ``asked`` is a stone that somebody put beside it, ``unknown`` a number that no stone bears.
    ``more`` counts the possible homes that are not shown, ``words`` are about other stones.
    """

    heading: str
    pictures: Pictures
    home: HomeRow | None
    homes: list[HomeRow]
    more: int
    asked: HomeRow | None
    unknown: str
    words: list[WordRow]
    events: list[PieceEvent]
    stone_events: list[Event]


def piece_page(piece: LoosePiece, *, number: str, now: datetime) -> PiecePage:
    """Return what is known of a piece; ``number`` is a stone to put beside it, or empty."""
    today = today_at(piece.cemetery, now=now)
    words = _words(piece)
    found = [] if piece.stone else _homes(piece, words)
    asked = _stone_of(piece, number) if number else None
    beside = asked if asked is not None and asked.pk != piece.stone_id else None
    stones = [stone for stone in (piece.stone, beside) if stone is not None]
    shown = [home for home in found if home.stone not in {stone.pk for stone in stones}]
    more, shown = max(0, len(shown) - MOST_HOMES), shown[:MOST_HOMES]
    given = {home.stone: home for home in shown} | _compared(piece, stones)
    rows = _rows(given, words, on=today)
    return PiecePage(
        heading=_heading(piece, found),
        pictures=pictures_of(piece.photographs.all()),
        home=rows.get(piece.stone_id or 0),
        homes=[rows[home.stone] for home in shown],
        more=more,
        asked=rows.get(beside.pk) if beside else None,
        unknown=number if number and asked is None else "",
        words=[row for row in words if row.judgement.stone_id != piece.stone_id],
        events=_events(piece),
        stone_events=stone_history(piece.stone).events if piece.stone else [],
    )


def _stone_of(piece: LoosePiece, number: str) -> Stone | None:
    found = stones_of(piece.cemetery).filter(number__iexact=number)
    return found.order_by("pk").first()


def _words(piece: LoosePiece) -> list[WordRow]:
    rows = piece.judgements.select_related("by", "stone")
    return [WordRow(row, word_of(row, piece.cemetery)) for row in rows]


def _homes(piece: LoosePiece, words: Iterable[WordRow]) -> list[Home]:
    refused = {row.judgement.stone_id for row in words}
    return homes(piece_facts(piece), broken_stones(piece.cemetery), refused=refused)


def _compared(piece: LoosePiece, stones: list[Stone]) -> dict[int, Home]:
    mine = piece_facts(piece)
    return {facts.stone: compare(mine, facts) for facts in stone_facts(stones)} if stones else {}


def _rows(found: dict[int, Home], words: Iterable[WordRow], *, on: date) -> dict[int, HomeRow]:
    stones = Stone.objects.select_related("section", "conclusion").in_bulk(list(found))
    newest = {
        picture.stone_id: picture
        for picture in Photograph.objects.filter(stone__in=stones).order_by("taken_on", "pk")
    }
    said = {row.judgement.stone_id: row for row in words}
    return {
        pk: HomeRow(stone_row(stones[pk], on=on), home, newest.get(pk), said.get(pk))
        for pk, home in found.items()
    }


def _heading(piece: LoosePiece, found: list[Home]) -> str:
    if piece.stone is not None:
        return f"Piece {piece.tag} belongs to stone {piece.stone.number}"
    likely = [home.number for home in found if home.likely][:3]
    if likely:
        return f"Piece {piece.tag} may belong to stone {joined(likely).replace(' and ', ' or ')}"
    if found:
        return f"Piece {piece.tag}: no home is likely, {len(found)} can be"
    return f"Piece {piece.tag}: no home is known yet"


def _events(piece: LoosePiece) -> list[PieceEvent]:
    """Return what the audit tells of a piece, oldest first."""
    entries = AuditEntry.objects.filter(thing_type="loosepiece", thing_id=str(piece.pk))
    zone = piece.cemetery.zone
    return [
        PieceEvent(
            entry.at.astimezone(zone).date(),
            _said(entry),
            str(entry.detail.get("why", "")),
        )
        for entry in entries.select_related("actor").order_by("at", "pk")
    ]


def _said(entry: AuditEntry) -> str:
    who = entry.actor.name if entry.actor else "Somebody"
    number = entry.detail.get("number", "")
    said = {
        "added": "noted it",
        "changed": f"changed {joined([_field(name) for name in entry.detail])}",
        "placed": f"confirmed that it belongs to stone {number}",
        "refused": f"said that it does not belong to stone {number}",
        "parted": f"took back that it belongs to stone {number}",
        "reopened": f"took back that it does not belong to stone {number}",
    }
    return f"{who} {said.get(entry.verb, entry.verb)}"


def _field(name: str) -> str:
    return CHANGES.get(name, name)
