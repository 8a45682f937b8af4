"""The only door to a day's jobs: what is not ready stays out, what becomes barred leaves."""

import random
from collections.abc import Callable
from datetime import date, timedelta
from itertools import pairwise
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from workdays.actions.backlog import change_job
from workdays.actions.changing import change
from workdays.actions.concluding import conclude
from workdays.actions.ground import change_setting
from workdays.actions.jobs_of_days import put_jobs_on_day, take_blocked_off_days
from workdays.actions.leave import change_permission
from workdays.actions.surveys import override_conclusion, record_survey
from workdays.models import (
    Cemetery,
    Conclusion,
    Crew,
    CrewJob,
    CrewPlan,
    Job,
    KindOfWork,
    Stone,
    Survey,
    Workday,
)
from workdays.queries.readiness import readiness_of

pytestmark = pytest.mark.django_db
NOW = factories.NOW
ON = date(2026, 5, 9)
LEAVE_ALONE = Conclusion.Kind.LEAVE_ALONE


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


@pytest.fixture
def hill() -> Cemetery:
    place = factories.make_cemetery()
    factories.make_permission(place)
    return place


def job_at(place: Cemetery, work: str = "cleaning", **conclusion: Any) -> Job:
    stone = factories.make_stone(factories.make_section(place))
    factories.conclude(stone, **conclusion)
    return factories.make_job(stone, work)


def published(day: Workday, job: Job) -> CrewPlan:
    plan = CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED)
    block = day.blocks.order_by("starts_at")[0]
    crew = Crew.objects.create(plan=plan, block=block, name="A", lead=factories.make_person())
    CrewJob.objects.create(
        crew=crew, job=job, starts_at=block.starts_at, ends_at=block.starts_at + timedelta(hours=1)
    )
    return plan


def test_ready_jobs_are_put_on_a_day_and_the_choice_is_kept(hill: Cemetery, ruth: Person) -> None:
    day, one, two = factories.make_day(hill), job_at(hill), job_at(hill)
    assert put_jobs_on_day(day, [one], by=ruth, now=NOW) == [one]
    assert put_jobs_on_day(day, [two], by=ruth, now=NOW) == [two]
    assert list(day.jobs.all()) == [two]
    entry = AuditEntry.objects.filter(verb="chose jobs").first()
    assert entry is not None
    assert entry.detail == {"added": [two.pk], "removed": [one.pk]}


@pytest.mark.parametrize(
    ("kind", "conclusion", "code"),
    [
        ("cleaning", {"kind": LEAVE_ALONE, "needs": []}, "leave-alone"),
        ("mending", {"kind": LEAVE_ALONE, "needs": []}, "leave-alone"),
        ("cleaning", {"kind": "conservator", "needs": []}, "conservator"),
        ("cleaning", {"look_again_on": date(2026, 5, 8)}, "look-again"),
        ("resetting", {"needs": ["reset"]}, "volunteer-resets"),
    ],
)
def test_a_job_that_may_not_be_done_is_refused_and_nothing_changes(
    hill: Cemetery, ruth: Person, kind: str, conclusion: dict[str, Any], code: str
) -> None:
    day, good, bad = factories.make_day(hill), job_at(hill), job_at(hill, kind, **conclusion)
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(day, [good, bad], by=ruth, now=NOW)
    assert codes(refused) == [code]
    assert bad.stone is not None
    assert bad.stone.number in refused.value.refusals[0].sentence
    assert not day.jobs.exists()


@pytest.mark.parametrize("kind", ["survey", "recording"])
def test_looking_at_a_stone_that_is_left_alone_is_allowed(
    hill: Cemetery, ruth: Person, kind: str
) -> None:
    day = factories.make_day(hill)
    job = job_at(hill, kind, kind=LEAVE_ALONE, needs=[])
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    assert list(day.jobs.all()) == [job]


def test_a_stone_that_nobody_saw_is_not_touched(hill: Cemetery, ruth: Person) -> None:
    stone = factories.make_stone(factories.make_section(hill))
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(factories.make_day(hill), [factories.make_job(stone)], by=ruth, now=NOW)
    assert codes(refused) == ["not-seen"]


def test_no_work_without_a_permission_that_covers_day_and_kind(ruth: Person) -> None:
    place = factories.make_cemetery()
    day, job = factories.make_day(place), job_at(place)
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(day, [job], by=ruth, now=NOW)
    assert codes(refused) == ["permission"]
    factories.make_permission(place, "raking")
    factories.make_permission(place, "cleaning", ends_on=date(2026, 5, 8))
    with pytest.raises(Refused):
        put_jobs_on_day(day, [job], by=ruth, now=NOW)
    factories.make_permission(place, "cleaning", starts_on=ON, ends_on=ON)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)


def test_a_chain_fits_on_one_day_only_whole(hill: Cemetery, ruth: Person) -> None:
    day, first = factories.make_day(hill), job_at(hill)
    second = factories.make_job(first.stone, "recording")
    second.prerequisites.add(first)
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(day, [second], by=ruth, now=NOW)
    assert codes(refused) == ["prerequisite"]
    put_jobs_on_day(day, [first, second], by=ruth, now=NOW)
    assert day.jobs.count() == 2


def test_a_job_of_elsewhere_or_one_that_is_done_is_refused(hill: Cemetery, ruth: Person) -> None:
    other = factories.make_cemetery()
    factories.make_permission(other)
    done = job_at(hill)
    Job.objects.filter(pk=done.pk).update(state=Job.State.DONE, done_at=NOW)
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(factories.make_day(hill), [job_at(other), done], by=ruth, now=NOW)
    assert {"elsewhere", "not-open"} <= set(codes(refused))


@pytest.mark.parametrize("state", ["called_off", "closed"])
def test_a_day_that_is_over_keeps_its_jobs(hill: Cemetery, ruth: Person, state: str) -> None:
    day = factories.make_day(hill, state=state)
    with pytest.raises(Refused) as refused:
        put_jobs_on_day(day, [job_at(hill)], by=ruth, now=NOW)
    assert codes(refused) == ["day-over"]
    yesterday = factories.make_day(hill, starts_at=NOW - timedelta(days=1))
    with pytest.raises(Refused):
        put_jobs_on_day(yesterday, [job_at(hill)], by=ruth, now=NOW)


def test_a_grave_survey_takes_the_job_off_the_day_and_out_of_its_plan(
    hill: Cemetery, ruth: Person
) -> None:
    day, job = factories.make_day(hill), job_at(hill)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    plan = published(day, job)
    assert job.stone is not None
    seen = {"on": date(2026, 5, 6), "signs": ["sugaring"], "sound": "solid", "lean_degrees": 0}
    done = record_survey(job.stone, seen, by=ruth, now=NOW)
    assert not day.jobs.exists()
    assert not CrewJob.objects.exists()
    plan.refresh_from_db()
    assert plan.version == 2
    (gone,) = done.taken_off
    assert gone.was_planned
    assert "taken off Saturday 9 May" in gone.sentence
    assert "publish a new one" in gone.sentence


def test_what_waited_for_a_barred_job_leaves_with_it(hill: Cemetery, ruth: Person) -> None:
    day, first = factories.make_day(hill), job_at(hill)
    second = factories.make_job(first.stone, "recording")
    second.prerequisites.add(first)
    put_jobs_on_day(day, [first, second], by=ruth, now=NOW)
    assert first.stone is not None
    factories.conclude(first.stone, LEAVE_ALONE, needs=[])
    gone = take_blocked_off_days(Job.objects.filter(pk=first.pk), by=ruth, now=NOW)
    assert [one.job for one in gone] == [first, second]
    assert not day.jobs.exists()


def test_past_days_keep_what_was_meant_for_them(hill: Cemetery, ruth: Person) -> None:
    day, job = factories.make_day(hill), job_at(hill)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    assert job.stone is not None
    factories.conclude(job.stone, LEAVE_ALONE, needs=[])
    after = day.ends_at + timedelta(hours=1)
    assert not take_blocked_off_days(Job.objects.all(), by=ruth, now=after)
    assert list(day.jobs.all()) == [job]


def test_readiness_is_read_in_as_many_statements_for_many_jobs_as_for_few(hill: Cemetery) -> None:
    def statements(jobs: list[Job]) -> int:
        with CaptureQueriesContext(
            connection,
        ) as seen:
            readiness_of(jobs, ON)
        return len(seen)

    jobs = [job_at(hill) for _ in range(20)]
    for one, other in pairwise(jobs):
        other.prerequisites.add(one)
    few, many = statements(jobs[:3]), statements(jobs)
    assert few == many <= 7


def _random_act(rng: random.Random, place: Cemetery, by: Person) -> None:
    """Do one thing that staff can do; a refusal is an answer like any other."""
    jobs, stones = list(Job.objects.all()), list(Stone.objects.all())
    job, stone = rng.choice(jobs), rng.choice(stones)
    day = rng.choice(list(Workday.objects.all()))
    seen = {
        "on": date(2026, 5, rng.randint(1, 6)),
        "signs": rng.sample(["growth", "sunk", "cracks", "fire"], rng.randint(0, 1)),
        "sound": rng.choice(["solid", "solid", "solid", "hollow", "unknown"]),
        "lean_degrees": rng.choice([None, 0, 4, 20]),
    }
    said: dict[str, Any] = {
        "kind": rng.choice(["leave_alone", "conservator", "needs"]),
        "needs": rng.sample(["clean", "reset", "look_again"], rng.randint(0, 2)),
        "reason": rng.choice(["", "The owner's conservator looked at it in April."]),
    }
    values = {
        "kind": rng.choice(list(KindOfWork.objects.exclude(on_section=True))),
        "stone": rng.choice(stones),
        "section": None,
        "priority": 30,
        "person_minutes": 60,
        "fewest": 2,
        "most": 4,
        "lifters": 1,
        "state": rng.choice(["open"] * 6 + ["done", "dropped"]),
    }
    permission = place.permissions.get()
    ends = {"ends_on": rng.choice([ON - timedelta(days=1), *[date(2026, 12, 31)] * 4])}
    allowed = rng.sample(list(KindOfWork.objects.all()), 5)
    now, source = NOW, "letter of the township, 3 March 2026"
    acts: list[Callable[[], object]] = [
        lambda: put_jobs_on_day(day, rng.sample(jobs, rng.randint(1, 2)), by=by, now=now),
        lambda: record_survey(stone, seen, by=by, now=now),
        lambda: override_conclusion(stone, **said, by=by, now=now),
        lambda: change_job(
            job, values, prerequisites=rng.sample(jobs, rng.randint(0, 1)), by=by, now=now
        ),
        lambda: change_setting(
            place, "volunteer_resets", rng.random() < 0.5, source=source, by=by, now=now
        ),
        lambda: change_permission(permission, ends, kinds=allowed, by=by, now=now),
    ]
    rng.choice([*acts, acts[0], acts[0]])()


@pytest.mark.parametrize("seed", range(6))
def test_no_act_leaves_a_job_on_a_coming_day_that_may_not_be_done_there(
    seed: int, hill: Cemetery, ruth: Person
) -> None:
    rng = random.Random(seed)
    days = [factories.make_day(hill) for _ in range(2)]
    for kind in ("cleaning", "resetting", "recording", "mending", "survey", "cleaning"):
        job_at(hill, kind)
    held = 0
    for _ in range(60):
        try:
            _random_act(rng, hill, ruth)
        except Refused:
            continue
        for day in days:
            meant = list(day.jobs.select_related("kind", "stone__conclusion"))
            held += len(meant)
            for job in meant:
                assert job.stone is not None
                concluded = job.stone.conclusion
                if job.kind.touches:
                    assert concluded is not None
                    assert concluded.kind != LEAVE_ALONE
            left = readiness_of(meant, ON, same_day=True, starts_at=day.starts_at)
            assert not any(left.values())
    assert held  # a walk in which nothing was ever meant for a day shows nothing


def test_organisers_are_told_by_mail_but_for_who_caused_it(hill: Cemetery, ruth: Person) -> None:
    day, job = factories.make_day(hill), job_at(hill)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    published(day, job)
    others = [factories.make_staff(), factories.make_staff(cemetery=hill)]
    factories.make_staff(cemetery=factories.make_cemetery())
    ben = factories.make_staff("supervisor", cemetery=hill)
    assert job.stone is not None
    record_survey(job.stone, {"on": NOW.date(), "signs": ["sugaring"]}, by=ben, now=NOW)
    letters = SentMessage.objects.filter(reason="taken_off")
    assert {letter.person for letter in letters} == {ruth, *others}
    letter = letters[0]
    assert letter.subject == f"1 job left Saturday 9 May at {hill.name}"
    assert "This stone is left alone" in letter.text
    assert "1 of them was in the published plan" in letter.text
    letters.delete()
    take_blocked_off_days(Job.objects.filter(pk=job.pk), by=ruth, now=NOW)
    assert not letters.exists()


@pytest.mark.parametrize(
    ("model", "field", "value"),
    [
        (Stone, "conclusion", None),
        (KindOfWork, "touches", True),
        (Workday, "state", Workday.State.OPEN),
    ],
)
def test_what_decides_where_a_hand_is_put_is_not_changed_in_passing(
    model: type[Stone | KindOfWork | Workday], field: str, value: object, hill: Cemetery
) -> None:
    job = job_at(hill, "survey")
    factories.make_day(hill, state=Workday.State.CLOSED)
    row = model._default_manager.filter(**{"jobs": job} if model is not Workday else {}).earliest(
        "pk"
    )
    with pytest.raises(Refused) as refused:
        change(row, {field: value})
    assert codes(refused) == ["own-door"]
    row.refresh_from_db()
    assert getattr(row, field) != value


def test_a_look_that_is_concluded_from_takes_jobs_off_in_the_same_breath(
    hill: Cemetery, ruth: Person
) -> None:
    job = job_at(hill)
    day = factories.make_day(hill)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    assert job.stone is not None
    look = Survey.objects.create(stone=job.stone, on=date(2026, 5, 1), signs=["sugaring"])
    _, gone = conclude([look], verb="surveyed", by=ruth, now=NOW)
    assert [(one.day, one.job) for one in gone] == [(day, job)]
    assert not day.jobs.exists()
