"""Pictures of the season: before and after of work that is done, and stones that wait for it."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta
from io import BytesIO

from coordinator.management.season.drawn import Look, picture
from coordinator.models import Person
from workdays.actions.photographs import Taken, add_photographs, pair_photographs
from workdays.models import Cemetery, Job, Photograph, Stone
from workdays.pictures import reduced

BEFORE, AFTER, OTHER = Photograph.Moment.BEFORE, Photograph.Moment.AFTER, Photograph.Moment.OTHER
DIRTY, CLEAN = Look(growth=0.52), Look(growth=0.04)
LEANING, UPRIGHT = Look(growth=0.4, lean_degrees=-11), Look(growth=0.4)
BROKEN = Look(growth=0.3, broken=True)
PLEASING = (Stone.Type.TABLET, Stone.Type.SHOULDERED)


def make(hill: Cemetery, *, by: Person, now: datetime, today: date) -> None:
    """Take three pairs and three single pictures; one pair may be seen by everybody."""
    pairs = [
        *(
            (stone, DIRTY, CLEAN, ("moss and soot", "cleaned"))
            for stone in _done(hill, "cleaning")[:2]
        ),
        *(
            (stone, LEANING, UPRIGHT, ("leans", "reset, upright"))
            for stone in _done(hill, "resetting")[:1]
        ),
    ]
    for number, (stone, before, after, words) in enumerate(pairs):
        rows = [
            _take(stone, before, BEFORE, words[0], today - timedelta(90), by, now),
            _take(stone, after, AFTER, words[1], today - timedelta(14), by, now),
        ]
        pair_photographs(rows[1], rows[0], by=by)
        if number == 0:
            Photograph.objects.filter(pk__in=[row.pk for row in rows]).update(in_gallery=True)
    _waiting(hill, by=by, now=now, today=today)
    hill.gallery_on = today - timedelta(days=60)
    hill.gallery_words = "Letter of the township's clerk, in the binder with the permission."
    hill.save(update_fields=["gallery_on", "gallery_words"])


def _waiting(hill: Cemetery, *, by: Person, now: datetime, today: date) -> None:
    free = hill.stones.filter(type__in=PLEASING, photographs=None).order_by("pk")
    leaning = free.filter(jobs__kind__key="resetting", jobs__state=Job.State.OPEN)
    looks: Iterable[tuple[Stone | None, Look, str]] = (
        (free.filter(conclusion__kind="conservator").first(), BROKEN, "broken through"),
        (free.filter(conclusion__kind="leave_alone").first(), Look(0.35), "grains come off"),
        (leaning.first(), LEANING, "leans"),
    )
    for stone, look, words in looks:
        if stone is not None:
            _take(stone, look, OTHER, words, today - timedelta(days=40), by, now)


def _done(cemetery: Cemetery, kind: str) -> list[Stone]:
    stones = cemetery.stones.filter(
        type__in=PLEASING, jobs__kind__key=kind, jobs__state=Job.State.DONE
    )
    return list(stones.distinct().order_by("pk"))


def _take(
    stone: Stone, look: Look, moment: str, caption: str, on: date, by: Person, now: datetime
) -> Photograph:
    words = [stone.name_on_stone, str(stone.year_on_stone or "")]
    drawn = picture(stone.type, stone.material, words, look, seed=stone.number)
    taken = Taken(on, moment, caption)
    (row,) = add_photographs(stone, [reduced(BytesIO(drawn))], taken=taken, by=by, now=now)
    return row
