"""Write down a look at a stone together with its pictures: both or neither."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from coordinator import audit
from coordinator.models import Person
from workdays.actions.photographs import Taken, files_or_nothing, keep_pictures
from workdays.actions.surveys import Recorded, record_survey
from workdays.models import Photograph, Stone
from workdays.pictures import Picture


@dataclass(frozen=True)
class PicturesOfLook:
    """Pictures sent with a look, and those of this stone that are kept already without one."""

    new: Sequence[Picture] = ()
    kept: Sequence[Photograph] = ()
    shows_people: bool = False


def record_look(
    stone: Stone,
    values: Mapping[str, Any],
    pictures: PicturesOfLook,
    *,
    by: Person,
    now: datetime,
) -> Recorded:
    """Keep a look and its pictures; see ``record_survey`` for what follows from it."""
    with files_or_nothing() as written:
        done = record_survey(stone, values, by=by, now=now)
        keep_pictures(
            stone,
            pictures.new,
            taken=Taken(done.survey.on, shows_people=pictures.shows_people),
            by=by,
            now=now,
            written=written,
            survey=done.survey,
        )
        _join(pictures.kept, done, by=by)
        return done


def _join(kept: Sequence[Photograph], done: Recorded, *, by: Person) -> None:
    """Note with the look what was kept before it; a picture of another look stays with that."""
    loose = Photograph.objects.filter(stone=done.survey.stone, survey__isnull=True)
    for row in loose.filter(pk__in=[one.pk for one in kept]):
        row.survey = done.survey
        row.save(update_fields=["survey"])
        audit.record(audit.by_login(by), "changed", row, {"survey": [None, done.survey.pk]})
