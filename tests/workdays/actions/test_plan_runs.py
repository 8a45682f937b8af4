"""Stop a request and keep what was found, or cancel it: on whatever it is at."""

import pytest

from coordinator.models import AuditEntry
from coordinator.refused import Refused
from tests import factories
from tests.workdays.planning import at_work
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting
from workdays.actions.plan_runs import (
    ENDED,
    FINISHED,
    GONE,
    NOTHING_YET,
    cancel_run,
    keep_found,
)
from workdays.models import CrewPlan, PlanRun, SignUp, Workday
from workdays.queries.plan_runs import found_plan
from workdays.queries.plans import plan_of
from workdays.rules.facts import Plan

pytestmark = pytest.mark.django_db
State = PlanRun.State


def crews(plan: Plan) -> list[object]:
    """What each crew does with whom, whatever the order in which the members are named."""
    return [(one.block, one.leader, {*one.members}, one.jobs) for one in plan.crews]


def test_what_was_found_so_far_is_kept_as_the_draft_even_where_the_worker_is_dead() -> None:
    day, _, _ = workable_day()
    before = drafting.redraft(day, rounds=ROUNDS)
    run, ruth = at_work(day), factories.make_staff()
    made = keep_found(day, run=run.pk, by=ruth, now=factories.NOW)
    assert crews(plan_of(made)) == crews(found_plan(run))
    assert (made.state, made.before, made.made_by) == (CrewPlan.State.DRAFT, before, ruth)
    assert (made.seed, made.rounds, made.bound) == (run.seed, run.tries, run.bound)
    run.refresh_from_db()
    assert (run.state, run.plan, run.found) == (State.DONE, made, {})
    entry = AuditEntry.objects.get(verb="stopped the planning")
    assert (entry.actor, entry.detail["run"]) == (ruth, run.pk)


def test_a_cancelled_request_leaves_the_plan_that_was_there() -> None:
    day, _, _ = workable_day()
    before = drafting.redraft(day, rounds=ROUNDS)
    ruth = factories.make_staff()
    for run in (at_work(day), PlanRun.objects.create(day=day)):
        cancel_run(day, run=run.pk, by=ruth, now=factories.NOW)
        run.refresh_from_db()
        assert (run.state, run.found) == (State.CANCELLED, {})
        drafting.run(run, now=factories.NOW)
    assert day.plans.get() == before
    assert AuditEntry.objects.filter(verb="cancelled the planning").count() == 2


@pytest.mark.parametrize(
    ("state", "found", "stop", "cancel"),
    [
        (State.ASKED, False, NOTHING_YET, None),
        (State.RUNNING, False, NOTHING_YET, None),
        (State.DONE, False, FINISHED, FINISHED),
        (State.CANCELLED, False, ENDED, ENDED),
        (State.FAILED, False, ENDED, ENDED),
        (State.FAILED, True, None, ENDED),
    ],
)
def test_each_state_of_a_request_is_answered_in_words(
    state: str, found: bool, stop: str | None, cancel: str | None
) -> None:
    day, _, _ = workable_day()
    ruth = factories.make_staff()
    values: dict[str, object] = {} if found else {"found": {}}
    for act, said in ((keep_found, stop), (cancel_run, cancel)):
        run = at_work(day, state=state, **values)
        if said is None:
            act(day, run=run.pk, by=ruth, now=factories.NOW)
            continue
        with pytest.raises(Refused) as refused:
            act(day, run=run.pk, by=ruth, now=factories.NOW)
        assert str(refused.value) == said
        run.refresh_from_db()
        assert run.state == state


def test_a_request_of_another_day_or_kind_is_not_there() -> None:
    day, _, _ = workable_day()
    other = PlanRun.objects.create(day=factories.make_day())
    what_if = PlanRun.objects.create(day=day, kind=PlanRun.Kind.WHAT_IF)
    for act in (keep_found, cancel_run):
        for run in (other.pk, what_if.pk, 0, 10**9):
            with pytest.raises(Refused, match=GONE):
                act(day, run=run, by=factories.make_staff(), now=factories.NOW)


def test_a_plan_that_no_longer_holds_is_not_kept_and_the_planner_goes_on() -> None:
    day, _, _ = workable_day()
    run = at_work(day)
    SignUp.objects.update(state=SignUp.State.WITHDRAWN)
    with pytest.raises(Refused, match="has changed, and the plan found so far does not hold"):
        keep_found(day, run=run.pk, by=factories.make_staff(), now=factories.NOW)
    run.refresh_from_db()
    assert run.is_open
    assert not day.plans.exists()


def test_nothing_is_kept_or_ended_on_a_day_that_is_over() -> None:
    day, _, _ = workable_day()
    run = at_work(day)
    Workday.objects.update(state=Workday.State.CLOSED)
    for act in (keep_found, cancel_run):
        with pytest.raises(Refused, match="not changed any more"):
            act(day, run=run.pk, by=factories.make_staff(), now=factories.NOW)
