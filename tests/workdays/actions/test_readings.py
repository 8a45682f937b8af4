"""Keeping what was read on a stone."""

from datetime import date

import pytest

from coordinator.models import AuditEntry
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from workdays.actions.readings import record_reading
from workdays.models import Job, KindOfWork, Recording, Stone
from workdays.rules.reading import FactRead

pytestmark = pytest.mark.django_db
ON = date(2026, 5, 6)


def read(stone: Stone, *facts: FactRead, lines: tuple[str, ...] = ("ANN BELL",)) -> Recording:
    return record_reading(
        stone, on=ON, lines=lines, facts=facts, notes="", by=factories.make_staff(), now=NOW
    )


def test_a_reading_keeps_its_lines_and_facts_in_order() -> None:
    name, born = FactRead("name", "Ann Bell", "sure"), FactRead("born", "1801", "likely")
    made = read(factories.make_stone(), name, born, lines=("ANN B[E]LL", "", "b. 1801"))
    assert made.lines == ["ANN B[E]LL", "", "b. 1801"]
    assert [(fact.subject, fact.words) for fact in made.facts.all()] == [
        ("name", "Ann Bell"),
        ("born", "1801"),
    ]
    assert AuditEntry.objects.filter(verb="read").count() == 1


def test_a_stone_without_a_name_takes_it_from_its_reading() -> None:
    stone = factories.make_stone()
    read(stone, FactRead("name", "Ann B[e]ll", "likely"), FactRead("died", "4 Mar 1871", "sure"))
    stone.refresh_from_db()
    assert (stone.name_on_stone, stone.year_on_stone) == ("Ann Bell", 1871)
    assert stone.certainty == Stone.Certainty.LIKELY


def test_a_name_that_is_there_stays() -> None:
    stone = factories.make_stone(name_on_stone="A. Bell", year_on_stone=1870)
    read(stone, FactRead("name", "Ann Bell", "sure"), FactRead("died", "1871", "sure"))
    stone.refresh_from_db()
    assert (stone.name_on_stone, stone.year_on_stone) == ("A. Bell", 1870)


def test_a_reading_ends_the_job_that_asked_for_it_and_no_other() -> None:
    stone = factories.make_stone()
    factories.conclude(stone)
    asked = factories.make_job(stone, kind=KindOfWork.objects.get(key="recording"))
    other = factories.make_job(stone)
    read(stone)
    asked.refresh_from_db()
    other.refresh_from_db()
    assert (asked.state, asked.done_at) == (Job.State.DONE, NOW)
    assert other.state == Job.State.OPEN


def test_a_refused_reading_leaves_nothing() -> None:
    with pytest.raises(Refused):
        read(factories.make_stone(), lines=("MAR[Y",))
    assert not Recording.objects.exists()
