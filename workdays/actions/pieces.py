"""Log loose pieces, and keep what people say of where they belong.

As with surveys, a supervisor or an organiser of the cemetery does this; the door asks for it.
"""

from collections.abc import Mapping, Sequence
from copy import copy
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays.actions.changing import change, written
from workdays.actions.photographs import Taken, Written, files_or_nothing, keep_pictures
from workdays.models import Cemetery, FitJudgement, LoosePiece, Stone
from workdays.pictures import Picture
from workdays.queries.ground import today_at
from workdays.queries.piece_facts import word_of
from workdays.rules import pieces as rules
from workdays.rules.refusals import Refusal

GONE = Refusal("gone", "Somebody has taken this word back meanwhile.")


@dataclass(frozen=True)
class PicturesOfPiece:
    """Pictures sent with a piece; they were taken on the day they are kept."""

    new: Sequence[Picture] = ()
    shows_people: bool = False


def log_piece(
    cemetery: Cemetery,
    values: Mapping[str, Any],
    pictures: PicturesOfPiece,
    *,
    by: Person,
    now: datetime,
) -> LoosePiece:
    """Note a piece with its tag and its pictures, both or neither; ``by`` is who found it."""
    with files_or_nothing() as files:
        place = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
        piece = LoosePiece(cemetery=place, found_by=by, **values)
        refuse(_refusals_to_log(piece, now))
        piece.save(force_insert=True)
        audit.record(audit.by_login(by), "added", piece, written(piece, values))
        _keep(piece, pictures, files, by=by, now=now)
        return piece


def change_piece(
    piece: LoosePiece,
    values: Mapping[str, Any],
    pictures: PicturesOfPiece,
    *,
    by: Person,
    now: datetime,
) -> LoosePiece:
    """Change what is noted of a piece, and keep more pictures of it."""
    with files_or_nothing() as files:
        Cemetery.objects.select_for_update().get(pk=piece.cemetery_id)
        row = _locked(piece)
        refuse(_refusals_to_log(_with(copy(row), values), now))
        changed = change(row, values)
        if changed:
            audit.record(audit.by_login(by), "changed", row, changed)
        _keep(row, pictures, files, by=by, now=now)
        return row


@transaction.atomic
def judge_fit(
    piece: LoosePiece, stone: Stone, *, fits: bool, why: str, by: Person, now: datetime
) -> None:
    """Keep a person's word on a piece and a stone; "it belongs here" joins their histories.

    Raises Refused, with the codes of ``rules.pieces.refusals_to_judge``.
    """
    row = _locked(piece)
    said = FitJudgement.objects.select_related("by").filter(piece=row, stone=stone).first()
    refuse(
        rules.refusals_to_judge(
            same_cemetery=stone.cemetery_id == row.cemetery_id,
            fits=fits,
            why=why,
            said=word_of(said, row.cemetery) if said else None,
            belongs_to=row.stone.number if row.stone else "",
        )
    )
    FitJudgement.objects.create(piece=row, stone=stone, fits=fits, why=why, by=by, at=now)
    if fits:
        _place(row, stone)
    _record("placed" if fits else "refused", row, stone, why, by)


@transaction.atomic
def take_back(judgement: FitJudgement, *, why: str, by: Person, now: datetime) -> None:
    """Take a word back, with why.

    A fit that was confirmed becomes one that was refused, so that it is not proposed again; a
    refusal goes, and the pair may be proposed again. Both words stay in the audit.
    """
    row = _locked(judgement.piece)
    said = FitJudgement.objects.select_related("stone").filter(pk=judgement.pk).first()
    if said is None or said.fits != judgement.fits:
        raise Refused([GONE])
    refuse(rules.refusals_to_take_back(why))
    if said.fits:
        said.fits, said.why, said.by, said.at = False, why, by, now
        said.save(update_fields=["fits", "why", "by", "at"])
        _place(row, None)
        _record("parted", row, said.stone, why, by)
    else:
        said.delete()
        _record("reopened", row, said.stone, why, by)


def _locked(piece: LoosePiece) -> LoosePiece:
    """Return the row, locked; its stone is read afterwards, since a join may be from before."""
    rows = LoosePiece.objects.select_for_update(of=("self",)).select_related("cemetery")
    return rows.get(pk=piece.pk)


def _place(row: LoosePiece, stone: Stone | None) -> None:
    row.stone = stone
    row.save(update_fields=["stone"])


def _record(verb: str, piece: LoosePiece, stone: Stone, why: str, by: Person) -> None:
    """Write the word into both histories."""
    things: list[tuple[Any, dict[str, Any]]] = [
        (piece, {"stone": stone.pk, "number": stone.number, "why": why}),
        (stone, {"piece": piece.pk, "tag": piece.tag, "why": why}),
    ]
    audit.record_many(audit.by_login(by), verb, things)


def _with(row: LoosePiece, values: Mapping[str, Any]) -> LoosePiece:
    for name, value in values.items():
        setattr(row, name, value)
    return row


def _refusals_to_log(piece: LoosePiece, now: datetime) -> list[Refusal]:
    others = LoosePiece.objects.filter(cemetery=piece.cemetery).exclude(pk=piece.pk)
    section = piece.section
    return rules.refusals_to_log(
        piece.tag,
        piece.found_on,
        piece.letters,
        taken=set(others.values_list("tag", flat=True)),
        today=today_at(piece.cemetery, now=now),
        section_here=section is None or section.cemetery_id == piece.cemetery_id,
    )


def _keep(
    piece: LoosePiece, pictures: PicturesOfPiece, files: Written, *, by: Person, now: datetime
) -> None:
    taken = Taken(today_at(piece.cemetery, now=now), shows_people=pictures.shows_people)
    keep_pictures(piece, pictures.new, taken=taken, by=by, now=now, written=files)
