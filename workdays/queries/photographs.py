"""The pictures of a stone in the order they were taken, and which of them make pairs."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet
from django.utils.formats import date_format

from workdays.models import Photograph
from workdays.rules.counting import some


@dataclass(frozen=True)
class PictureRow:
    """One picture, its number on the page and what is said of it; ``pair`` is the other's."""

    number: int
    picture: Photograph
    words: str
    pair: int | None


@dataclass(frozen=True)
class Pictures:
    """All pictures of one place, and each pair as (before, after)."""

    rows: list[PictureRow]
    pairs: list[tuple[PictureRow, PictureRow]]
    sentence: str

    @property
    def alone(self) -> list[Photograph]:
        """Return the pictures without a pair."""
        return [row.picture for row in self.rows if row.pair is None]

    def proposed(self) -> dict[str, int]:
        """Return the two that most likely make the next pair; empty when there are none."""
        alone = self.alone
        if not alone or len(self.rows) < 2:
            return {}
        before = [one for one in alone if one.moment != Photograph.Moment.AFTER]
        after = [one for one in alone if one.moment == Photograph.Moment.AFTER]
        first, last = (before or alone)[0], (after or alone)[-1]
        return {"before": first.pk, "after": last.pk}


def pictures_of(photographs: "QuerySet[Photograph]") -> Pictures:
    """Return the pictures of one place, oldest first."""
    found = list(photographs.order_by("taken_on", "pk"))
    numbers = {one.pk: number for number, one in enumerate(found, 1)}
    other = dict(_both_ways(found))
    rows = [
        PictureRow(
            number=numbers[one.pk],
            picture=one,
            words=_words(numbers[one.pk], one),
            pair=numbers.get(other.get(one.pk, 0)),
        )
        for one in found
    ]
    by_pk = {row.picture.pk: row for row in rows}
    pairs = [
        (by_pk[one.before_id], by_pk[one.pk])
        for one in found
        if one.before_id and one.before_id in by_pk
    ]
    return Pictures(rows, pairs, _sentence(len(rows), len(pairs)))


def _both_ways(found: Iterable[Photograph]) -> Iterable[tuple[int, int]]:
    for one in found:
        if one.before_id:
            yield one.pk, one.before_id
            yield one.before_id, one.pk


def _words(number: int, one: Photograph) -> str:
    day = date_format(one.taken_on, "j F Y")
    caption = f": {one.caption}" if one.caption else ""
    return f"Picture {number}, {day}, {one.get_moment_display()}{caption}"


def _sentence(pictures: int, pairs: int) -> str:
    if not pictures:
        return "no picture yet"
    said = some(pictures, "picture")
    return f"{said}, {some(pairs, 'pair')} of before and after" if pairs else said
