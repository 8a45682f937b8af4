"""An import is undone as if it had never been, unless later work stands on what it brought in."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.workdays.actions.test_spreadsheets import HEAD, ROWS, brought, kept
from workdays.actions.ground import change_stone
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.actions.spreadsheets import bring_in
from workdays.actions.surveys import override_conclusion, record_survey
from workdays.actions.undoing import undo_import
from workdays.models import (
    Cemetery,
    Conclusion,
    Photograph,
    Recording,
    SheetImport,
    Stone,
    Survey,
)

pytestmark = pytest.mark.django_db
NOW = factories.NOW


@pytest.fixture(autouse=True)
def files_apart(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def ruth() -> Person:
    return factories.make_staff()


@pytest.fixture
def place() -> Cemetery:
    """Make a place with stone A1, surveyed as growing moss, in section Old."""
    section = factories.make_section(name="Old")
    factories.make_stone(
        section, number="A1", height_cm=50, latitude="42.100000", longitude="-84.5"
    )
    return section.cemetery


def ground(place: Cemetery) -> list[Any]:
    """Return everything that an undoing must give back."""
    return [
        list(place.stones.order_by("pk").values()),
        list(place.sections.order_by("pk").values()),
        list(Survey.objects.order_by("pk").values()),
        list(Conclusion.objects.order_by("pk").values()),
        list(place.jobs.order_by("pk").values("pk", "section")),
    ]


MOVED = [*ROWS, ["A9", "East", "tablet", None, None, None, None, None]]
MOVED[1] = ["A1", "East", "obelisk", "granite", 24, "2026-05-01", "sugaring", 2]


def test_undoing_gives_everything_back(place: Cemetery, ruth: Person) -> None:
    stone = place.stones.get()
    record_survey(stone, {"on": date(2026, 4, 1), "signs": ["growth"]}, by=ruth, now=NOW)
    factories.make_job(stone)
    before = ground(place)
    done = brought(place, MOVED, ruth, new_sections=True)
    assert ground(place) != before
    undo_import(done.sheet, by=ruth, now=NOW)
    assert ground(place) == before
    done.sheet.refresh_from_db()
    assert done.sheet.state == SheetImport.State.UNDONE
    assert AuditEntry.objects.get(verb="undone").detail["stones"] == 3


def test_what_was_undone_can_be_brought_in_again(place: Cemetery, ruth: Person) -> None:
    done = brought(place, MOVED, ruth, new_sections=True)
    undo_import(done.sheet, by=ruth, now=NOW)
    with pytest.raises(Refused, match="nothing to undo"):
        undo_import(done.sheet, by=ruth, now=NOW)
    bring_in(done.sheet, by=ruth, now=NOW)
    assert place.stones.count() == 4
    undo_import(done.sheet, by=ruth, now=NOW)
    assert place.stones.count() == 1


def test_only_the_last_is_undone(place: Cemetery, ruth: Person) -> None:
    first = brought(place, ROWS, ruth).sheet
    second = bring_in(
        kept(place, [HEAD, ["B1", "Old", *[None] * 6]], ruth),
        by=ruth,
        now=NOW + timedelta(hours=1),
    ).sheet
    with pytest.raises(Refused, match="undo that one first"):
        undo_import(first, by=ruth, now=NOW)
    undo_import(second, by=ruth, now=NOW)
    undo_import(first, by=ruth, now=NOW)
    assert [stone.number for stone in place.stones.all()] == ["A1"]


def looked_at(stone: Stone, ruth: Person) -> None:
    record_survey(stone, {"on": date(2026, 5, 5), "signs": []}, by=ruth, now=NOW)


def overruled(stone: Stone, ruth: Person) -> None:
    override_conclusion(stone, kind="leave_alone", needs=[], reason="", by=ruth, now=NOW)


def changed(stone: Stone, ruth: Person) -> None:
    change_stone(stone, {"height_cm": 99}, by=ruth, now=NOW)


def with_job(stone: Stone, ruth: Person) -> None:
    factories.make_job(stone)


def with_picture(stone: Stone, ruth: Person) -> None:
    survey = stone.surveys.first()
    Photograph.objects.create(stone=stone, survey=survey, taken_on=date(2026, 5, 5))


def with_reading(stone: Stone, ruth: Person) -> None:
    Recording.objects.create(stone=stone, on=date(2026, 5, 5))


def with_family(stone: Stone, ruth: Person) -> None:
    factories.make_family(stone)


LATER: dict[str, tuple[Callable[[Stone, Person], None], str]] = {
    "look": (looked_at, "a later look stands on what it brought in, at stone"),
    "word": (overruled, "a later word on what holds"),
    "change": (changed, "a later change"),
    "job": (with_job, "a job stands"),
    "picture": (with_picture, "a picture stands"),
}
OF_NEW = LATER | {
    "reading": (with_reading, "a reading stands"),
    "family": (with_family, "a family stands"),
}


@pytest.mark.parametrize("what", OF_NEW)
def test_later_work_on_a_new_stone_keeps_it(place: Cemetery, ruth: Person, what: str) -> None:
    work, words = OF_NEW[what]
    done = brought(place, ROWS, ruth)
    work(place.stones.get(number="A2"), ruth)
    before = ground(place)
    with pytest.raises(Refused) as refused:
        undo_import(done.sheet, by=ruth, now=NOW)
    sentence = " ".join(refusal.sentence for refusal in refused.value.refusals)
    assert words in sentence
    assert "stone A2" in sentence
    assert ground(place) == before


@pytest.mark.parametrize("what", LATER)
def test_later_work_on_a_known_stone_keeps_it(place: Cemetery, ruth: Person, what: str) -> None:
    work, words = LATER[what]
    done = brought(place, ROWS, ruth)
    work(place.stones.get(number="A1"), ruth)
    with pytest.raises(Refused) as refused:
        undo_import(done.sheet, by=ruth, now=NOW)
    sentence = " ".join(refusal.sentence for refusal in refused.value.refusals)
    assert words in sentence
    assert "stone A1" in sentence


def test_a_stone_that_somebody_put_into_a_new_section_keeps_it(
    place: Cemetery, ruth: Person
) -> None:
    done = brought(place, MOVED, ruth, new_sections=True)
    factories.make_stone(place.sections.get(name="East"), number="Z")
    with pytest.raises(
        Refused, match="another stone stands on what it brought in, at section East"
    ):
        undo_import(done.sheet, by=ruth, now=NOW)


def test_work_elsewhere_or_before_keeps_nothing(place: Cemetery, ruth: Person) -> None:
    stone = place.stones.get()
    factories.make_job(stone)
    done = brought(place, ROWS, ruth)
    other = factories.make_stone(place.sections.get(), number="Z")
    looked_at(other, ruth)
    with_job(other, ruth)
    undo_import(done.sheet, by=ruth, now=NOW)
    assert place.stones.count() == 2


def test_what_held_before_takes_jobs_off_days_again(place: Cemetery, ruth: Person) -> None:
    factories.make_permission(place)
    stone = place.stones.get()
    record_survey(stone, {"on": date(2026, 4, 1), "signs": ["sugaring"]}, by=ruth, now=NOW)
    job, day = factories.make_job(stone), factories.make_day(place)
    look = ["A1", None, None, None, None, "2026-05-01", "moss", 0, "solid"]
    rows = [[*HEAD, "Sound"], look]
    done = brought(place, rows, ruth)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    gone = undo_import(done.sheet, by=ruth, now=NOW)
    assert [one.job for one in gone] == [job]
    assert not day.jobs.exists()
    stone.refresh_from_db()
    assert stone.conclusion is not None
    assert stone.conclusion.kind == "leave_alone"


def test_a_look_at_a_stone_as_an_import_noted_it_is_concluded_from_anew(
    place: Cemetery, ruth: Person
) -> None:
    factories.make_permission(place)
    stone = place.stones.get()
    change_stone(stone, {"height_cm": 200}, by=ruth, now=NOW)
    done = brought(place, [["No", "Type", "Material"], ["A1", "flush marker", "granite"]], ruth)
    seen = {"on": date(2026, 5, 5), "signs": ["fallen", "growth"], "sound": "solid"}
    record_survey(stone, seen | {"lean_degrees": 0, "height_above_cm": 190}, by=ruth, now=NOW)
    job, day = factories.make_job(stone), factories.make_day(place)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    gone = undo_import(done.sheet, by=ruth, now=NOW)
    stone.refresh_from_db()
    assert (stone.type, stone.material) == ("tablet", "marble")
    assert stone.conclusion is not None
    assert stone.conclusion.kind == "conservator"
    assert [one.job for one in gone] == [job]
    assert not day.jobs.exists()
