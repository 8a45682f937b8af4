"""Loose pieces, and stones that miss a part, as the plain facts that the rules read."""

from collections import defaultdict
from collections.abc import Iterable

from django.db.models import F, OuterRef, Q, QuerySet, Subquery

from workdays.models import (
    Cemetery,
    FitJudgement,
    LoosePiece,
    RecordedFact,
    Recording,
    Stone,
    Survey,
)
from workdays.queries.ground import date_words
from workdays.rules.homes import Broken, Piece
from workdays.rules.pieces import Word
from workdays.rules.triage import Sign

MISSING = (Sign.LOOSE_PIECES, Sign.BROKEN_THROUGH)


def piece_facts(piece: LoosePiece) -> Piece:
    """Return what the rules read of a piece."""
    return Piece(
        thickness_cm=piece.thickness_cm,
        material=piece.material,
        letters=piece.letters,
        place_m=_place(piece.east_m, piece.north_m),
        section=piece.section_id,
    )


def broken_stones(cemetery: Cemetery) -> list[Broken]:
    """Return the stones whose last survey saw that a part is or may be missing.

    Three statements, however many there are.
    """
    signs = Q()
    for sign in MISSING:
        signs |= Q(signs__icontains=f'"{sign.value}"')
    fewer = Q(pieces__lt=F("stone__pieces"))
    looks = _last_looks(Survey.objects.filter(stone__cemetery=cemetery)).filter(signs | fewer)
    return _facts({look.stone: look for look in looks.select_related("stone")})


def stone_facts(stones: Iterable[Stone]) -> list[Broken]:
    """Return what the rules read of these stones, broken or not."""
    asked = list(stones)
    looks = {look.stone_id: look for look in _last_looks(Survey.objects.filter(stone__in=asked))}
    return _facts({stone: looks.get(stone.pk) for stone in asked})


def facts_at(stone: Stone, look: Survey | None, *, read: bool) -> Broken:
    """Return what the rules read of a stone whose last look is at hand.

    ``read``: what it says too, in two statements; none otherwise.
    """
    texts = _texts([stone]) if read else {}
    return _broken(stone, look, texts.get(stone.pk, []))


def word_of(judgement: FitJudgement, cemetery: Cemetery) -> Word:
    """Return a word on a fit, with its day on the clock of the place; reads ``by``."""
    return Word(
        fits=judgement.fits,
        who=judgement.by.name if judgement.by else "",
        when=date_words(judgement.at.astimezone(cemetery.zone).date()),
        why=judgement.why,
    )


def _last_looks(looks: "QuerySet[Survey]") -> "QuerySet[Survey]":
    newest = Survey.objects.filter(stone=OuterRef("stone")).order_by("-on", "-pk")
    return looks.filter(pk=Subquery(newest.values("pk")[:1]))


def _facts(looks: "dict[Stone, Survey | None]") -> list[Broken]:
    texts = _texts(looks)
    return [_broken(stone, look, texts[stone.pk]) for stone, look in looks.items()]


def _broken(stone: Stone, look: Survey | None, texts: Iterable[str]) -> Broken:
    return Broken(
        stone=stone.pk,
        number=stone.number,
        type=stone.type,
        signs=_signs(look),
        pieces_noted=stone.pieces,
        pieces_seen=look.pieces if look else None,
        thickness_cm=stone.thickness_cm,
        material=stone.material,
        texts=tuple(dict.fromkeys(texts)),
        place_m=_place(stone.east_m, stone.north_m),
        section=stone.section_id,
    )


def _signs(look: Survey | None) -> frozenset[Sign]:
    known = {sign.value for sign in Sign}
    return frozenset(Sign(sign) for sign in (look.signs if look else []) if sign in known)


def _texts(stones: Iterable[Stone]) -> dict[int, list[str]]:
    """Return what stones say: every line read, names and dates, then what is noted of them."""
    found: dict[int, list[str]] = defaultdict(list)
    asked = list(stones)
    lines = Recording.objects.filter(stone__in=asked).values_list("stone_id", "lines")
    for stone, read in lines.order_by("-on", "-pk"):
        found[stone] += [line for line in read if line.strip()]
    facts = RecordedFact.objects.filter(recording__stone__in=asked, subject__in=_SAID)
    found_facts = facts.values_list("recording__stone_id", "words").order_by("pk")
    for stone, words in found_facts:
        found[stone].append(words)
    for one in asked:
        noted = [one.name_on_stone, str(one.year_on_stone or "")]
        found[one.pk] += [words for words in noted if words]
    return found


_SAID = (RecordedFact.Subject.NAME, RecordedFact.Subject.BORN, RecordedFact.Subject.DIED)


def _place(east_m: float | None, north_m: float | None) -> tuple[float, float] | None:
    return None if east_m is None or north_m is None else (east_m, north_m)
