"""What people who come bring, in the plan of a day, at its desk and on its public page."""

from datetime import timedelta

import pytest

from tests.factories import NOW, make_day, make_job, make_person, make_sign_up
from workdays.models import SignUp, Workday
from workdays.queries import public
from workdays.queries.brought import lines_of, wanted
from workdays.queries.desk import desk
from workdays.queries.planning import planning_facts

pytestmark = pytest.mark.django_db
State = SignUp.State


@pytest.fixture
def day() -> Workday:
    day = make_day(equipment={"bucket": 1, "rake": 2})
    day.jobs.add(make_job(equipment={"bucket": 4, "hoist": 1}))
    return day


def wanted_of(day: Workday) -> list[str]:
    return wanted(day, public.blocks(day))


def test_the_plan_counts_on_what_those_bring_who_are_coming(day: Workday) -> None:
    make_sign_up(day, brings={"bucket": 2, "truck": 1})
    for state in State:
        if state != State.COMING:
            make_sign_up(day, state=state, brings={"bucket": 9})
    assert planning_facts(day).kit == {"bucket": 3, "rake": 2, "truck": 1}


def test_the_plan_does_not_count_on_what_leaves_early(day: Workday) -> None:
    leaves_at = day.ends_at - timedelta(minutes=15)
    make_sign_up(day, brings={"bucket": 2}, leaves_at=leaves_at)
    assert planning_facts(day).kit == {"bucket": 1, "rake": 2}


def test_the_desk_says_who_brings_what_and_what_is_missing_still(day: Workday) -> None:
    make_sign_up(day, make_person(name="Ana Costa"), brings={"bucket": 2})
    late = {"brings": {"bucket": 1}, "comes_at": day.starts_at + timedelta(hours=1)}
    make_sign_up(day, make_person(name="Bo Late"), **late)
    found = desk(day, now=NOW)
    assert ("bucket with brushes", 3) in found.equipment
    assert [(line.name, line.words, line.counts) for line in found.brought] == [
        ("Ana Costa", "2 x bucket with brushes", True),
        ("Bo Late", "1 x bucket with brushes", False),
    ]
    assert found.brought == lines_of(day)
    gaps = [gap.sentence for gap in found.gaps if gap.code == "equipment"]
    assert "Bucket with brushes: a job needs 4; 3 are there." in gaps


def test_the_public_is_asked_for_what_may_be_brought_until_it_is_there(day: Workday) -> None:
    assert wanted_of(day) == ["3 x bucket with brushes"]
    row = make_sign_up(day, brings={"bucket": 2})
    assert wanted_of(day) == ["1 x bucket with brushes"]
    SignUp.objects.filter(pk=row.pk).update(brings={"bucket": 3})
    assert wanted_of(day) == []


def test_work_that_is_done_needs_nothing_any_more(day: Workday) -> None:
    day.jobs.update(state="done")
    assert wanted_of(day) == []
