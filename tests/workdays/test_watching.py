"""A worker at a request: it keeps what it finds, hears when it is not wanted, loses nothing."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.db import OperationalError, connection, transaction

from tests import factories
from tests.workdays.planning import at_work
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting
from workdays.actions.hands import pin_person
from workdays.actions.plan_runs import cancel_run, keep_found
from workdays.actions.surveys import record_survey
from workdays.models import CrewPlan, Placement, PlanRun, Stone, Workday
from workdays.planner.solve import Limit, Progress
from workdays.queries.plan_runs import SILENCE_LASTS, found_plan
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of
from workdays.rules.crew import value
from workdays.rules.facts import Plan, Value
from workdays.watching import LIMITS, MOST_SECONDS, NotWanted, Watch

pytestmark = pytest.mark.django_db
NOW = factories.NOW


def clock_that(act: Callable[[], object], *, at: int = 3) -> Callable[[], float]:
    """Give a clock on which each look takes two seconds, and something happens at one of them."""

    def ticks() -> Iterator[float]:
        for number in range(10**6):
            if number == at:
                act()
            yield 2.0 * number

    return ticks().__next__


def begun(day: Workday, clock: Callable[[], float], run: PlanRun | None = None) -> Watch:
    """A worker that has just begun a request, which will take a few tries."""
    run = run or PlanRun.objects.create(day=day, state=PlanRun.State.RUNNING, started_at=NOW)
    watch = Watch(run, now=NOW, clock=clock)
    watch.limit = Limit(rounds=ROUNDS)
    return watch


def test_the_first_plan_is_kept_with_the_request_at_once_and_the_last_is_the_draft() -> None:
    day, _, _ = workable_day()
    kept: list[PlanRun] = []
    watch = begun(day, clock_that(lambda: kept.append(PlanRun.objects.get()), at=8))
    plan = drafting.redraft(day, watch=watch)
    [early], run = kept, PlanRun.objects.get()
    assert value(planning_facts(day), found_plan(early)).total == early.value
    assert found_plan(early).crews
    assert early.seen_at is not None
    assert early.seen_at > NOW
    assert (run.state, run.plan, run.found, run.words) == (PlanRun.State.DONE, plan, {}, "")
    assert (run.value, run.bound, run.tries) == (plan.value, plan.bound, plan.rounds)
    assert run.finished_at is not None
    assert run.finished_at > early.seen_at


@pytest.mark.parametrize("keep", [True, False])
def test_a_worker_saves_nothing_once_its_request_was_ended_by_hand(keep: bool) -> None:
    day, _, _ = workable_day()
    ruth = factories.make_staff()

    def end() -> None:
        run = PlanRun.objects.get()
        if keep:
            keep_found(day, run=run.pk, by=ruth, now=NOW)
        else:
            cancel_run(day, run=run.pk, by=ruth, now=NOW)

    with pytest.raises(NotWanted):
        drafting.redraft(day, watch=begun(day, clock_that(end, at=6)))
    assert day.plans.count() == keep
    ended = PlanRun.State.DONE if keep else PlanRun.State.CANCELLED
    assert PlanRun.objects.get().state == ended


def test_a_request_that_was_ended_by_hand_is_no_fault_of_the_worker() -> None:
    day, _, _ = workable_day()
    run = at_work(day, state=PlanRun.State.CANCELLED)
    drafting.run(run, now=NOW)
    assert PlanRun.objects.get().state == PlanRun.State.CANCELLED
    assert not day.plans.exists()


def test_what_a_hand_pins_while_a_plan_is_sought_is_kept_and_said() -> None:
    day, people, _ = workable_day()
    shown = drafting.redraft(day, rounds=ROUNDS)
    first = {"crew__plan": shown, "crew__block": day.blocks.earliest("pk")}
    held = Placement.objects.filter(**first).exclude(person=people[0]).earliest("pk").person

    def pin() -> None:
        by = factories.make_staff()
        pin_person(shown, held, block=0, pinned=True, version=shown.version, by=by)

    watch = begun(day, clock_that(pin, at=8))
    watch.begin(version=shown.version)
    made = drafting.redraft(day, watch=watch)
    assert made.crews.filter(placements__person=held, placements__pinned=True).exists()
    assert made.before is not None
    assert made.before.change == CrewPlan.Change.PINNED
    assert f"(version {made.before.version})" in PlanRun.objects.get().words


def test_a_stone_that_is_barred_while_a_plan_is_sought_is_in_no_draft() -> None:
    day, _, (first, *_) = workable_day()

    def look() -> None:
        values = {"on": NOW.date(), "signs": ["sugaring"], "lean_degrees": 0}
        record_survey(Stone.objects.get(jobs=first), values, by=factories.make_staff(), now=NOW)

    row = drafting.redraft(day, watch=begun(day, clock_that(look, at=5)))
    planned = {job.job for crew in plan_of(row).crews for job in crew.jobs}
    assert planned
    assert f"j{first.pk}" not in planned


def test_a_database_that_is_away_for_a_moment_stops_no_search() -> None:
    day, _, _ = workable_day()
    run = PlanRun.objects.create(day=day, state=PlanRun.State.RUNNING, started_at=NOW)
    watch, step = begun(day, clock_that(list), run), Progress(Plan(), Value(priority=7), 1)

    def away(execute: Any, sql: str, *rest: Any) -> Any:
        raise OperationalError("the database went away")

    with connection.execute_wrapper(away):
        assert not watch.hear(step)
    transaction.set_rollback(False)  # the test's own transaction, which the fault has marked
    assert not watch.hear(step)
    run.refresh_from_db()
    assert run.value == 7


def test_a_request_that_a_killed_worker_left_goes_on_from_what_was_found() -> None:
    day, _, _ = workable_day()
    run = at_work(day, seen_at=NOW, value=0)
    assert Watch(run, now=NOW, clock=lambda: 0.0).found == found_plan(run)
    soon = NOW + SILENCE_LASTS
    drafting.run(run, now=soon - timedelta(seconds=1))
    assert not day.plans.exists(), "somebody may still be at it"
    drafting.run(run, now=soon)
    run.refresh_from_db()
    assert run.state == PlanRun.State.DONE
    assert run.plan == day.plans.get()


def test_a_plan_that_cannot_be_read_is_none() -> None:
    assert found_plan(PlanRun(found={"crews": [{"block": "x"}]})) == Plan()


def test_no_request_outlasts_its_task() -> None:
    task_seconds = 600
    for limit in LIMITS.values():
        assert (limit.seconds or MOST_SECONDS) + MOST_SECONDS / 4 < task_seconds
    day, _, _ = workable_day()
    late = Watch(
        at_work(day), now=NOW, clock=iter([0.0, 399.0, 399.0, 399.0, *3 * [401.0]]).__next__
    )
    step = Progress(Plan(), Value(), 1)
    assert [late.hear(step), late.hear(step)] == [False, True]
