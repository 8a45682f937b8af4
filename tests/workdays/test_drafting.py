"""From rows to facts to a saved plan and back."""

from datetime import timedelta

import pytest
import time_machine
from pytest_django import DjangoAssertNumQueries

from coordinator import sweeping as kernel
from coordinator.models import Person
from tests import factories
from workdays import drafting, tasks
from workdays.broken import Broken
from workdays.models import CrewPlan, Job, PlanRun, SignUp, Workday
from workdays.queries.plan_runs import CLAIM_LASTS, SILENCE_LASTS, due_runs
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of
from workdays.rules.crew import violations
from workdays.rules.facts import Plan
from workdays.watching import Watch

pytestmark = pytest.mark.django_db
ROUNDS = 100


def workable_day(jobs: int = 3) -> tuple[Workday, list[Person], list[Job]]:
    """A permitted day with a signed-off cleaner who leads, three helpers, stones to clean."""
    section = factories.make_section()
    factories.make_permission(section.cemetery)
    work = []
    for _ in range(jobs):
        stone = factories.make_stone(section)
        factories.conclude(stone)
        work.append(factories.make_job(stone))
    day = factories.make_day(section.cemetery)
    day.jobs.set(work)
    waiver = factories.make_waiver()
    people = [factories.make_person(may_lead=number == 0) for number in range(4)]
    factories.sign_off(people[0], "cleaning")
    for person in people:
        factories.make_sign_up(day, person)
        factories.sign(person, waiver)
    return day, people, work


def test_a_draft_holds_every_rule_and_is_read_back_as_it_was_saved() -> None:
    day, people, _ = workable_day()
    row = drafting.redraft(day, rounds=ROUNDS)
    facts = planning_facts(day)
    plan = plan_of(row)
    assert violations(facts, plan) == []
    assert row.value > 0
    assert {crew.leader for crew in plan.crews} == {f"p{people[0].pk}"}
    assert row.facts_hash
    assert row.crews.count() == len(plan.crews)


def test_nobody_without_a_waiver_is_in_a_plan() -> None:
    day, people, _ = workable_day()
    people[3].signatures.update(confirmed_at=None)
    row = drafting.redraft(day, rounds=ROUNDS)
    placed = {member for crew in plan_of(row).crews for member in crew.members}
    assert f"p{people[3].pk}" not in placed
    assert any(f"p{people[3].pk}" == key for key, _ in row.left_out["people"])


def test_work_on_a_stone_left_alone_is_never_planned_and_says_why() -> None:
    day, _, work = workable_day(jobs=1)
    stone = work[0].stone
    assert stone is not None
    factories.conclude(stone, kind="leave_alone", needs=[])
    row = drafting.redraft(day, rounds=ROUNDS)
    assert plan_of(row).crews == () or all(not crew.jobs for crew in plan_of(row).crews)
    [(key, sentence)] = row.left_out["jobs"]
    assert key == f"j{work[0].pk}"
    assert len(sentence) > 20


def test_who_comes_late_and_leaves_early_is_planned_only_while_there() -> None:
    day, people, _ = workable_day()
    sign_up = SignUp.objects.get(person=people[1])
    sign_up.comes_at = day.starts_at + timedelta(minutes=50)
    sign_up.leaves_at = day.starts_at + timedelta(minutes=100)
    sign_up.save()
    facts = planning_facts(day).person[f"p{people[1].pk}"]
    assert (facts.arrive, facts.leave) == (4, 6)


@pytest.mark.parametrize("people_more", [0, 8])
def test_facts_take_as_many_statements_for_many_people(
    people_more: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    day, _, _ = workable_day()
    for _ in range(people_more):
        factories.make_sign_up(day)
    with django_assert_max_num_queries(26):
        planning_facts(day)


def test_a_plan_that_breaks_a_rule_is_not_saved() -> None:
    day, _people, _ = workable_day()
    good = plan_of(drafting.redraft(day, rounds=ROUNDS))
    twice = Plan((*good.crews, good.crews[0]))
    with pytest.raises(Broken):
        drafting.save_draft(day, twice, by=None)
    assert CrewPlan.objects.filter(state=CrewPlan.State.DRAFT).count() == 1


def test_a_run_is_carried_out_once() -> None:
    day, _, _ = workable_day()
    run = PlanRun.objects.create(day=day)
    for _ in range(2):
        drafting.run(run, now=factories.NOW)
    run.refresh_from_db()
    assert run.state == PlanRun.State.DONE
    assert CrewPlan.objects.count() == 1


def left_by_a_worker(day: Workday, *, minutes_ago: int) -> PlanRun:
    """A request as a worker leaves it that is killed in the middle."""
    run = PlanRun.objects.create(day=day, state=PlanRun.State.RUNNING)
    began = factories.NOW - timedelta(minutes=minutes_ago)
    PlanRun.objects.filter(pk=run.pk).update(started_at=began, asked_at=began)
    run.refresh_from_db()
    return run


@pytest.mark.parametrize(("minutes_ago", "state"), [(9, "running"), (10, "done"), (60, "failed")])
def test_a_run_that_a_killed_worker_left_is_taken_over_once_its_claim_has_lapsed(
    minutes_ago: int, state: str
) -> None:
    day, _, _ = workable_day()
    run = left_by_a_worker(day, minutes_ago=minutes_ago)
    drafting.run(run, now=factories.NOW)
    run.refresh_from_db()
    assert run.state == state
    assert CrewPlan.objects.exists() == (state == "done")
    assert bool(run.words) == (state == "failed")


def test_a_worker_that_lost_its_claim_does_not_end_the_run_of_another() -> None:
    day, _, _ = workable_day()
    run = left_by_a_worker(day, minutes_ago=30)
    slow = Watch(PlanRun.objects.get(pk=run.pk), now=factories.NOW, clock=lambda: 0.0)
    PlanRun.objects.filter(pk=run.pk).update(started_at=factories.NOW)
    slow.fail("too late")
    run.refresh_from_db()
    assert (run.state, run.words) == (PlanRun.State.RUNNING, "")


def test_the_sweep_finds_requests_whose_bell_was_lost_and_those_that_were_left() -> None:
    day, _, _ = workable_day()
    fresh, unheard = PlanRun.objects.create(day=day), PlanRun.objects.create(day=day)
    PlanRun.objects.filter(pk=fresh.pk).update(asked_at=factories.NOW - timedelta(seconds=59))
    PlanRun.objects.filter(pk=unheard.pk).update(asked_at=factories.NOW - timedelta(seconds=60))
    left_by_a_worker(day, minutes_ago=9)
    left = left_by_a_worker(day, minutes_ago=11)
    PlanRun.objects.create(day=day, state=PlanRun.State.DONE)
    silent = left_by_a_worker(day, minutes_ago=5)
    PlanRun.objects.filter(pk=silent.pk).update(seen_at=factories.NOW - SILENCE_LASTS)
    assert due_runs(factories.NOW) == [left.pk, silent.pk, unheard.pk]


def test_nobody_takes_a_run_over_while_its_task_may_still_be_at_it() -> None:
    assert tasks.run_plan.time_limit == CLAIM_LASTS.total_seconds()


def test_a_sweep_without_a_worker_plans_what_was_left() -> None:
    day, _, _ = workable_day()
    with time_machine.travel(factories.NOW, tick=False):
        run = left_by_a_worker(day, minutes_ago=11)
        kernel.sweep(factories.NOW)
    run.refresh_from_db()
    assert run.state == PlanRun.State.DONE
    assert run.plan == day.plans.get()


@pytest.mark.parametrize("empty", ["people", "jobs", "leads"])
def test_a_day_on_which_nothing_can_be_planned_says_so(empty: str) -> None:
    day, _people, _ = workable_day()
    if empty == "people":
        SignUp.objects.all().delete()
    elif empty == "jobs":
        day.jobs.clear()
    else:
        Person.objects.update(may_lead=False)
    row = drafting.redraft(day, rounds=ROUNDS)
    assert plan_of(row).crews == ()
    assert row.value <= 0


def test_work_of_no_minutes_and_work_that_waits_for_itself_stop_no_plan() -> None:
    day, _, (none, circle, _) = workable_day()
    Job.objects.filter(pk=none.pk).update(person_minutes=0)
    circle.prerequisites.add(circle)
    [crew] = plan_of(drafting.redraft(day, rounds=ROUNDS)).crews
    assert {job.job: job.end - job.start for job in crew.jobs}[f"j{none.pk}"] == 1
    assert f"j{circle.pk}" not in {job.job for job in crew.jobs}
