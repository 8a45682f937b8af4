"""Pictures are kept whole or not at all, make pairs of one stone, and take their files along."""

from collections.abc import Callable
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.db import transaction

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.workdays import picture_files as files
from workdays.actions.photographs import (
    Taken,
    add_photographs,
    pair_photographs,
    remove_photograph,
    unpair_photograph,
)
from workdays.models import LoosePiece, Photograph, Stone
from workdays.pictures import Picture, reduced

NOW = factories.NOW
TODAY = date(2026, 5, 6)
pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def store(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def stone() -> Stone:
    return factories.make_stone()


def picture(width: int = 1200) -> Picture:
    return reduced(BytesIO(files.jpeg(width, 800, exif=files.exif())))


def stored(store: Path) -> list[Path]:
    return sorted(path for path in store.rglob("*") if path.is_file())


Keep = Callable[..., Photograph]


@pytest.fixture
def keep(ruth: Person) -> Keep:
    def kept(stone: Stone, on: date = TODAY, **said: Any) -> Photograph:
        (row,) = add_photographs(stone, [picture()], taken=Taken(on, **said), by=ruth, now=NOW)
        return row

    return kept


def test_pictures_are_kept_in_three_sizes_under_names_that_tell_nothing(
    stone: Stone, ruth: Person, store: Path
) -> None:
    taken = Taken(TODAY, Photograph.Moment.BEFORE, "from the east", shows_people=True)
    rows = add_photographs(stone, [picture(), picture(600)], taken=taken, by=ruth, now=NOW)
    assert [(row.width_px, row.height_px) for row in rows] == [(1200, 800), (600, 800)]
    assert {(row.stone, row.moment, row.caption, row.shows_people) for row in rows} == {
        (stone, "before", "from the east", True)
    }
    names = [path.name for path in stored(store)]
    assert len(names) == len(set(names)) == 6
    assert all(len(name.split("-")[0]) == 32 for name in names)
    assert all(b"widow" not in path.read_bytes() for path in stored(store))
    assert AuditEntry.objects.filter(verb="added", thing_type="photograph").count() == 2


def test_a_loose_piece_has_pictures_too(ruth: Person, stone: Stone) -> None:
    piece = LoosePiece.objects.create(
        cemetery=stone.cemetery, tag="L1", found_on=TODAY, place="at the wall"
    )
    (row,) = add_photographs(piece, [picture()], taken=Taken(TODAY), by=ruth, now=NOW)
    assert (row.piece, row.stone, row.cemetery) == (piece, None, stone.cemetery)


@pytest.mark.parametrize(
    ("on", "code"), [(date(2026, 5, 7), "future"), (date(1899, 12, 31), "too-old")]
)
def test_a_day_on_which_nobody_took_it_is_refused(
    stone: Stone, ruth: Person, store: Path, on: date, code: str
) -> None:
    with pytest.raises(Refused) as refused:
        add_photographs(stone, [picture()], taken=Taken(on), by=ruth, now=NOW)
    assert [one.code for one in refused.value.refusals] == [code]
    assert stored(store) == []
    assert not Photograph.objects.exists()


def test_when_one_of_them_cannot_be_kept_no_file_stays(
    stone: Stone, ruth: Person, store: Path
) -> None:
    whole = picture()
    broken = Picture(whole.large, whole.medium, whole.small, width_px=-1, height_px=1)
    with pytest.raises(Exception, match=r"(?i)constraint|out of range"):
        add_photographs(stone, [whole, broken], taken=Taken(TODAY), by=ruth, now=NOW)
    assert stored(store) == []


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


def test_two_pictures_of_a_stone_make_a_pair_until_somebody_parts_them(
    stone: Stone, ruth: Person, keep: Keep
) -> None:
    before, after = keep(stone, date(2026, 4, 1)), keep(stone)
    pair_photographs(after, before, by=ruth)
    after.refresh_from_db()
    before.refresh_from_db()
    assert (after.before, after.moment, before.moment) == (before, "after", "before")
    unpair_photograph(after, by=ruth)
    unpair_photograph(after, by=ruth)
    after.refresh_from_db()
    assert after.before is None
    assert list(AuditEntry.objects.values_list("verb", flat=True).order_by("pk"))[-2:] == [
        "paired",
        "unpaired",
    ]


def test_a_new_pair_ends_the_pairs_that_its_pictures_were_in(
    stone: Stone, ruth: Person, keep: Keep
) -> None:
    first, second, third = keep(stone), keep(stone), keep(stone)
    pair_photographs(second, first, by=ruth)
    pair_photographs(third, second, by=ruth)
    pair_photographs(third, first, by=ruth)
    pairs = Photograph.objects.exclude(before=None).values_list("pk", "before_id")
    assert list(pairs) == [(third.pk, first.pk)]


def test_a_picture_turned_from_before_to_after_makes_a_pair_the_other_way(
    stone: Stone, ruth: Person, keep: Keep
) -> None:
    first, second = keep(stone), keep(stone)
    pair_photographs(second, first, by=ruth)
    pair_photographs(first, second, by=ruth)
    pairs = Photograph.objects.exclude(before=None).values_list("pk", "before_id")
    assert list(pairs) == [(first.pk, second.pk)]


def test_what_is_no_pair_is_refused(stone: Stone, ruth: Person, keep: Keep) -> None:
    early, late = keep(stone, date(2026, 4, 1)), keep(stone)
    other = keep(factories.make_stone(stone.section))
    for after, before, code in (
        (early, late, "order"),
        (late, late, "same-picture"),
        (other, late, "other-place"),
    ):
        with pytest.raises(Refused) as refused:
            pair_photographs(after, before, by=ruth)
        assert codes(refused) == [code]
    assert not Photograph.objects.exclude(before=None).exists()


@pytest.mark.django_db(transaction=True)
def test_a_picture_taken_away_takes_its_files_along(
    stone: Stone, ruth: Person, store: Path, keep: Keep
) -> None:
    gone, stays = keep(stone), keep(stone)
    with pytest.raises(Refused) as refused:
        remove_photograph(gone, reason="", by=ruth)
    assert codes(refused) == ["no-reason"]
    remove_photograph(gone, reason="It shows a mourner.", by=ruth)
    assert [row.pk for row in Photograph.objects.all()] == [stays.pk]
    assert {path.name for path in stored(store)} == {
        Path(file.name or "").name for file in (stays.file, stays.medium, stays.small)
    }
    with pytest.raises(Refused) as refused:
        remove_photograph(gone, reason="Again.", by=ruth)
    assert codes(refused) == ["gone"]


class SlipError(Exception):
    """Something goes wrong after the deletion."""


def delete_and_slip(row: Photograph) -> None:
    with transaction.atomic():
        row.delete()
        raise SlipError


@pytest.mark.django_db(transaction=True)
def test_a_deletion_that_does_not_hold_leaves_the_files(
    stone: Stone, store: Path, keep: Keep
) -> None:
    row = keep(stone)
    with pytest.raises(SlipError):
        delete_and_slip(row)
    assert len(stored(store)) == 3
