"""The loose pieces of a cemetery: those without a home first, each with its likely homes."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from django.core.paginator import Page, Paginator
from django.db.models import BooleanField, ExpressionWrapper, Prefetch, Q, QuerySet

from workdays.models import Cemetery, FitJudgement, LoosePiece, Photograph, Stone, Survey
from workdays.queries.address import query_string
from workdays.queries.piece_facts import broken_stones, facts_at, piece_facts
from workdays.rules.counting import joined, some
from workdays.rules.homes import Home, compare, homes

ROWS_A_PAGE = 25
MOST_NAMED = 3
STATES = {"open": "not placed yet", "placed": "placed"}


@dataclass(frozen=True)
class PieceFilter:
    """What a list of pieces was asked for: whether they are placed, words; empty: all."""

    state: str = ""
    words: str = ""

    @classmethod
    def from_query(cls, query: Mapping[str, str]) -> "PieceFilter":
        """Return the filter of an address; what makes no sense asks for nothing."""
        state = query.get("state", "")
        words = query.get("words", "").replace("\x00", "").strip()[:40]
        return cls(state if state in STATES else "", words)

    @property
    def address(self) -> str:
        """Return the filter as the start of a query string for the links between pages."""
        given = {"state": self.state, "words": self.words}
        return query_string(given)


@dataclass(frozen=True)
class PieceRow:
    """One piece in a list: a picture where there is one, and the homes that are likely."""

    piece: LoosePiece
    picture: Photograph | None
    likely: list[Home]
    possible: int

    @property
    def words(self) -> str:
        """Return how far it is with a piece that is at no stone yet, after its likely homes."""
        if self.possible:
            return f"{some(self.possible, 'stone')} possible, none likely"
        return "no likely home yet"


@dataclass(frozen=True)
class PieceList:
    """A page of the list, what was asked for, and what can be asked for."""

    heading: str
    rows: list[PieceRow]
    page: "Page[LoosePiece]"
    asked: PieceFilter
    states: list[tuple[str, str]]


def piece_list(cemetery: Cemetery, asked: PieceFilter, *, page: str) -> PieceList:
    """Return one page of the pieces of a cemetery; a page that is not there is the nearest."""
    found = _ordered(_filtered(cemetery.pieces.all(), asked))
    sheet = Paginator(found, ROWS_A_PAGE).get_page(page)
    return PieceList(
        heading=_heading(cemetery),
        rows=_rows(cemetery, list(sheet)),
        page=sheet,
        asked=asked,
        states=list(STATES.items()),
    )


@dataclass(frozen=True)
class StonePieces:
    """The loose pieces at a stone: those that belong, and those that likely do."""

    belong: list[PieceRow]
    likely: list[tuple[PieceRow, Home]]
    misses_a_part: bool


def pieces_at(stone: Stone, *, look: Survey | None) -> StonePieces:
    """Return the pieces that belong or likely belong to a stone, the likeliest first.

    ``look`` is the last one at it. One statement; more only where pieces are to be compared.
    """
    misses = compare(piece_facts(LoosePiece()), facts_at(stone, look, read=False)).possible
    rows = list(with_pictures(_at(stone, misses_a_part=misses)))
    belong = [_row(piece) for piece in rows if piece.stone_id]
    loose = [piece for piece in rows if not piece.stone_id]
    facts = facts_at(stone, look, read=bool(loose))
    pairs = [(_row(piece), compare(piece_facts(piece), facts)) for piece in loose]
    likely = [pair for pair in pairs if pair[1].likely]
    likely.sort(key=lambda pair: (-pair[1].points, pair[0].piece.tag))
    return StonePieces(belong, likely, misses_a_part=misses)


def _at(stone: Stone, *, misses_a_part: bool) -> "QuerySet[LoosePiece]":
    """Return what belongs to a stone and, where a part is missing, what nobody refused for it."""
    if not misses_a_part:
        return stone.loose_pieces.all()
    judged = FitJudgement.objects.filter(stone=stone).values("piece")
    found = stone.cemetery.pieces.filter(Q(stone=stone) | Q(stone=None))
    return found.exclude(stone=None, pk__in=judged)


def with_pictures(pieces: "QuerySet[LoosePiece]") -> "QuerySet[LoosePiece]":
    """Return pieces with their pictures, oldest first, in one more statement."""
    pictures = Photograph.objects.order_by("taken_on", "pk")
    return pieces.select_related("section", "stone").prefetch_related(
        Prefetch("photographs", queryset=pictures)
    )


def refused_stones(pieces: Iterable[LoosePiece]) -> dict[int, set[int]]:
    """Return the stones that each piece was judged against already: id to ids."""
    found: dict[int, set[int]] = defaultdict(set)
    said = FitJudgement.objects.filter(piece__in=list(pieces))
    for piece, stone in said.values_list("piece_id", "stone_id"):
        found[piece].add(stone)
    return found


def _filtered(pieces: "QuerySet[LoosePiece]", asked: PieceFilter) -> "QuerySet[LoosePiece]":
    if asked.state:
        pieces = pieces.filter(stone__isnull=asked.state == "open")
    if asked.words:
        tag, place = Q(tag__icontains=asked.words), Q(place__icontains=asked.words)
        letters = Q(letters__icontains=asked.words)
        pieces = pieces.filter(tag | place | letters)
    return pieces


def _ordered(pieces: "QuerySet[LoosePiece]") -> "QuerySet[LoosePiece]":
    placed = ExpressionWrapper(Q(stone__isnull=False), output_field=BooleanField())
    return with_pictures(pieces).order_by(placed, "-found_on", "-pk")


def _rows(cemetery: Cemetery, pieces: list[LoosePiece]) -> list[PieceRow]:
    loose = [piece for piece in pieces if piece.stone_id is None]
    stones = broken_stones(cemetery) if loose else []
    refused = refused_stones(loose)
    found = {
        piece.pk: homes(piece_facts(piece), stones, refused=refused.get(piece.pk, ()))
        for piece in loose
    }
    return [_row(piece, found.get(piece.pk, [])) for piece in pieces]


def _row(piece: LoosePiece, found: Iterable[Home] = ()) -> PieceRow:
    pictures, possible = list(piece.photographs.all()), list(found)
    likely = [home for home in possible if home.likely][:MOST_NAMED]
    return PieceRow(piece, pictures[-1] if pictures else None, likely, len(possible))


def _heading(cemetery: Cemetery) -> str:
    placed = cemetery.pieces.filter(stone__isnull=False).count()
    loose = cemetery.pieces.filter(stone=None).count()
    if not placed and not loose:
        return f"{cemetery.name}: no loose piece is noted"
    parts = []
    if loose:
        parts.append(f"{some(loose, 'loose piece')} {'waits' if loose == 1 else 'wait'} for a home")
    if placed:
        noun = "" if loose else " piece" if placed == 1 else " pieces"
        parts.append(f"{placed}{noun} {'is' if placed == 1 else 'are'} placed")
    return f"{cemetery.name}: {joined(parts)}"
