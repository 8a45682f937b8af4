"""Keep pictures at stones and loose pieces, make pairs of them, take them away again."""

import uuid
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime

from django.core.files.base import ContentFile
from django.db import transaction
from django.db.models import Q
from django.db.models.fields.files import FieldFile

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.models import LoosePiece, Photograph, Stone, Survey
from workdays.pictures import Picture
from workdays.queries.ground import today_at
from workdays.rules.picturing import refusals_to_keep, refusals_to_pair
from workdays.rules.refusals import Refusal


@dataclass(frozen=True)
class Taken:
    """What is said of pictures that were taken together."""

    on: date
    moment: str = Photograph.Moment.OTHER
    caption: str = ""
    shows_people: bool = False


@dataclass
class Written:
    """The files that a transaction has written so far."""

    files: list[FieldFile] = field(default_factory=list)


@contextmanager
def files_or_nothing() -> Iterator[Written]:
    """Open a transaction; when it does not hold, the files written in it are removed."""
    written = Written()
    try:
        with transaction.atomic():
            yield written
    except BaseException:
        for file in written.files:
            if file.name:
                file.storage.delete(file.name)
        raise


def add_photographs(
    place: Stone | LoosePiece,
    pictures: Sequence[Picture],
    *,
    taken: Taken,
    by: Person,
    now: datetime,
    survey: Survey | None = None,
) -> list[Photograph]:
    """Keep pictures of a stone or a loose piece, all or none, in the order they came."""
    with files_or_nothing() as written:
        return keep_pictures(
            place, pictures, taken=taken, by=by, now=now, survey=survey, written=written
        )


def keep_pictures(
    place: Stone | LoosePiece,
    pictures: Sequence[Picture],
    *,
    taken: Taken,
    by: Person,
    now: datetime,
    written: Written,
    survey: Survey | None = None,
) -> list[Photograph]:
    """Keep pictures inside a ``files_or_nothing`` that somebody else has opened."""
    refusals = refusals_to_keep(taken.on, today=today_at(place.cemetery, now=now))
    if refusals:
        raise Refused(refusals)
    rows = []
    for picture in pictures:
        row = _row(place, picture, taken, survey=survey, by=by)
        _write(row, picture, written)
        row.save(force_insert=True)
        detail = {"of": place.pk, "moment": row.moment, "on": row.taken_on.isoformat()}
        audit.record(audit.by_login(by), "added", row, detail | {"survey": row.survey_id})
        rows.append(row)
    return rows


def _row(
    place: Stone | LoosePiece,
    picture: Picture,
    taken: Taken,
    *,
    survey: Survey | None,
    by: Person,
) -> Photograph:
    return Photograph(
        stone=place if isinstance(place, Stone) else None,
        piece=place if isinstance(place, LoosePiece) else None,
        survey=survey,
        moment=taken.moment,
        width_px=picture.width_px,
        height_px=picture.height_px,
        taken_on=taken.on,
        taken_by=by,
        caption=taken.caption,
        shows_people=taken.shows_people,
    )


def _write(row: Photograph, picture: Picture, written: Written) -> None:
    """Write the three sizes under one random name; nothing tells whose picture it is."""
    name = uuid.uuid4().hex
    sizes = (
        (row.file, "large", picture.large),
        (row.medium, "medium", picture.medium),
        (row.small, "small", picture.small),
    )
    for file, size, content in sizes:
        written.files.append(file)
        file.save(f"{name}-{size}.jpg", ContentFile(content), save=False)


@transaction.atomic
def pair_photographs(after: Photograph, before: Photograph, *, by: Person) -> None:
    """Make two pictures of one place a pair; what either was paired with before stands alone."""
    after, before = _locked(after, before)
    refusals = refusals_to_pair(
        same_place=(after.stone_id, after.piece_id) == (before.stone_id, before.piece_id),
        same_picture=after.pk == before.pk,
        before_on=before.taken_on,
        after_on=after.taken_on,
    )
    if refusals:
        raise Refused(refusals)
    both = [after.pk, before.pk]
    Photograph.objects.filter(Q(pk__in=both) | Q(before__in=both)).update(before=None)
    after.before, after.moment = before, Photograph.Moment.AFTER
    before.moment = Photograph.Moment.BEFORE
    before.save(update_fields=["moment"])
    after.save(update_fields=["before", "moment"])
    audit.record(audit.by_login(by), "paired", after, {"before": before.pk})


@transaction.atomic
def unpair_photograph(after: Photograph, *, by: Person) -> None:
    """Let the two pictures of a pair stand alone; what each shows stays noted."""
    (after,) = _locked(after)
    if after.before_id is None:
        return
    detail = {"before": after.before_id}
    after.before = None
    after.save(update_fields=["before"])
    audit.record(audit.by_login(by), "unpaired", after, detail)


@transaction.atomic
def remove_photograph(photograph: Photograph, *, reason: str, by: Person) -> None:
    """Take a picture away for good, its files too once the row is gone; say why."""
    if not reason:
        raise Refused([Refusal("no-reason", "Say why the picture goes: it cannot come back.")])
    (row,) = _locked(photograph)
    place = {"stone": row.stone_id, "piece": row.piece_id, "on": row.taken_on.isoformat()}
    audit.record(audit.by_login(by), "removed", row, place | {"why": reason})
    row.delete()


def _locked(*rows: Photograph) -> list[Photograph]:
    """Return the rows, locked in one order whoever asks."""
    keys = [row.pk for row in rows]
    found = {
        row.pk: row
        for row in Photograph.objects.select_for_update().filter(pk__in=keys).order_by("pk")
    }
    if len(found) < len(set(keys)):
        raise Refused([Refusal("gone", "Somebody has taken this picture away meanwhile.")])
    return [found[key] for key in keys]
