"""Minutes: noted when a day is closed, learned by work and size, given to open jobs."""

from datetime import date, timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from tests.workdays.actions.test_roll import EVENING, worked_day
from workdays.actions.backlog import add_job, change_job
from workdays.actions.chains import add_chain
from workdays.actions.minutes import use_learned_minutes
from workdays.actions.roll import close_day
from workdays.models import Cemetery, ChainStep, Job, JobTime, Stone
from workdays.queries.minutes import MinutesRow, minutes_rows

pytestmark = pytest.mark.django_db


@pytest.fixture
def hill() -> Cemetery:
    return factories.make_cemetery()


def to_clean(place: Cemetery, **overrides: Any) -> Stone:
    """Make a small stone that needs cleaning: 4,000 cubic centimetres."""
    section = place.sections.first() or factories.make_section(place)
    small = {"height_cm": 40, "width_cm": 20, "thickness_cm": 5}
    stone = factories.make_stone(section, **(small | overrides))
    factories.conclude(stone)
    return stone


def note(place: Cemetery, *minutes: int, kind: str = "cleaning", **overrides: Any) -> None:
    """Note one small stone a day, done."""
    for n, one in enumerate(minutes):
        done = {"state": Job.State.DONE, "done_at": NOW}
        job = factories.make_job(to_clean(place), kind, **done, **overrides)
        day = factories.make_day(place, starts_at=NOW - timedelta(days=100 - n))
        on = date(2026, 1, 1) + timedelta(days=n)
        JobTime.objects.create(job=job, day=day, on=on, person_minutes=one, people=2)


def row_of(place: Cemetery, kind: str = "cleaning", size: str = "small") -> MinutesRow:
    (row,) = [r for r in minutes_rows(place) if (r.kind.key, r.size) == (kind, size)]
    return row


def test_closing_a_day_notes_what_each_job_took_and_whether_it_was_done() -> None:
    day, lead, _, job = worked_day()
    close_day(day, {}, took={job.pk: 95}, by=lead, now=EVENING)
    time = JobTime.objects.get()
    assert (time.job, time.day, time.on) == (job, day, date(2026, 5, 9))
    assert (time.person_minutes, time.people, time.finished) == (95, 2, True)


@pytest.mark.parametrize(
    ("left", "took", "noted"),
    [(0, 0, []), (25, 40, [(40, False)]), (60, 120, []), (200, 120, [])],
)
def test_what_nobody_knows_and_what_nobody_did_is_not_noted(
    left: int, took: int, noted: list[tuple[int, bool]]
) -> None:
    day, lead, _, job = worked_day()
    close_day(day, {job.pk: left}, took={job.pk: took}, by=lead, now=EVENING)
    assert list(JobTime.objects.values_list("person_minutes", "finished")) == noted


def test_the_row_tells_the_estimate_what_was_learned_and_what_it_rests_on(hill: Cemetery) -> None:
    factories.make_job(to_clean(hill))
    row = row_of(hill)
    assert (row.default, row.rests_on, row.open_jobs) == ("30 min", "no time noted yet", ())
    note(hill, 41, 42, 44, 45, 400)
    row = row_of(hill)
    assert row.estimate.words == "44 min from 5 days"
    assert row.rests_on == "5 days, 5 jobs noted"
    assert len(row.open_jobs) == 1


def test_sizes_kinds_and_steps_are_learned_apart(hill: Cemetery) -> None:
    note(hill, 41, 42, 44, 45, 46)
    dig, tamp = ChainStep.objects.filter(template__key="reset", kind__key="resetting")
    for step in (dig, tamp):
        factories.make_job(to_clean(hill), "resetting", lifters=2, step=step)
    factories.make_job(to_clean(hill, height_cm=100, width_cm=50, thickness_cm=8))
    told = {(r.kind.key, r.size, r.default): r.estimate.days for r in minutes_rows(hill)}
    assert told == {
        ("cleaning", "small", "30 min"): 5,
        ("cleaning", "medium", "60 min"): 0,
        ("resetting", "small", "40 min"): 0,
        ("resetting", "small", "60 min"): 0,
    }


def test_work_that_no_chain_estimates_is_learned_from_five_days_on(hill: Cemetery) -> None:
    factories.make_job(to_clean(hill), "resetting", lifters=2, person_minutes=180)
    note(hill, 150, 160, 170, 170, kind="resetting", lifters=2)
    row = row_of(hill, "resetting")
    assert (row.default, row.open_jobs) == ("none", ())
    assert row.rests_on == "4 jobs noted, too few days yet"
    note(factories.make_cemetery(), 170, kind="resetting", lifters=2)
    assert row_of(hill, "resetting").estimate.days == 4 + 1
    assert len(row_of(hill, "resetting").open_jobs) == 1


def test_while_days_here_are_few_days_elsewhere_help(hill: Cemetery) -> None:
    note(factories.make_cemetery(), 50, 50, 50, 50, 50)
    factories.make_job(to_clean(hill))
    assert row_of(hill).estimate.words == "50 min from 5 days, all elsewhere"


def test_open_jobs_take_the_learned_minutes_but_not_those_by_hand_or_begun(
    hill: Cemetery, ruth: Person
) -> None:
    note(hill, 41, 42, 44, 45, 400)
    free, held, begun, large = (
        factories.make_job(to_clean(hill)),
        factories.make_job(to_clean(hill), minutes_by_hand=True),
        factories.make_job(to_clean(hill), minutes_left=20),
        factories.make_job(to_clean(hill, height_cm=150, width_cm=100, thickness_cm=30)),
    )
    other = factories.make_job(to_clean(factories.make_cemetery()))
    row = row_of(hill)
    assert row.by_hand == 1
    assert use_learned_minutes(hill, row.key, by=ruth) == 1
    free.refresh_from_db()
    assert (free.person_minutes, free.learned_days) == (44, 5)
    for job in (held, begun, large, other):
        job.refresh_from_db()
        assert (job.person_minutes, job.learned_days) == (60, None)
    assert AuditEntry.objects.get(verb="took learned minutes").detail == {
        "person_minutes": [60, 44]
    }
    assert use_learned_minutes(hill, row.key, by=ruth) == 0, "a second press changes nothing"


@pytest.mark.parametrize("key", ["", "x", "1-2-3", "\x00", "9" * 400])
def test_work_that_is_not_there_is_refused(hill: Cemetery, ruth: Person, key: str) -> None:
    factories.make_job(to_clean(hill))
    with pytest.raises(Refused, match="No time was noted for this work"):
        use_learned_minutes(hill, key, by=ruth)
    with pytest.raises(Refused, match="No time was noted for this work"):
        use_learned_minutes(hill, row_of(hill).key, by=ruth)


def test_jobs_of_a_chain_start_from_what_was_learned(hill: Cemetery, ruth: Person) -> None:
    first, second = to_clean(hill), to_clean(hill)
    add_chain(first, by=ruth, now=NOW)
    note(hill, 41, 42, 44, 45, 400)
    add_chain(second, by=ruth, now=NOW)
    before, after = (stone.jobs.get(kind__key="cleaning") for stone in (first, second))
    assert (before.person_minutes, before.learned_days) == (30, None)
    assert (after.person_minutes, after.learned_days) == (44, 5)


def test_a_new_job_without_minutes_gets_the_learned_ones_and_a_typed_figure_stays(
    hill: Cemetery, ruth: Person
) -> None:
    note(hill, 41, 42, 44, 45, 400)
    stone = to_clean(hill)
    values: dict[str, Any] = {
        "kind": factories.kind("cleaning"),
        "stone": stone,
        "section": None,
        "priority": 30,
        "person_minutes": None,
        "fewest": 2,
        "most": 4,
        "lifters": 0,
        "wait_hours": 0,
    }
    job = add_job(hill, values, by=ruth)
    assert (job.person_minutes, job.learned_days, job.minutes_by_hand) == (44, 5, False)
    typed = add_job(hill, values | {"person_minutes": 90}, by=ruth)
    assert (typed.person_minutes, typed.learned_days, typed.minutes_by_hand) == (90, None, True)
    change_job(job, values | {"person_minutes": 44}, prerequisites=[], by=ruth, now=NOW)
    job.refresh_from_db()
    assert (job.learned_days, job.minutes_by_hand) == (5, False)
    change_job(job, values | {"person_minutes": 50}, prerequisites=[], by=ruth, now=NOW)
    job.refresh_from_db()
    assert (job.person_minutes, job.learned_days, job.minutes_by_hand) == (50, None, True)
