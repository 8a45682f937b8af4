"""Requests to plan a day: the one way to make one, and the one that a change makes by rule."""

from coordinator import audit
from coordinator.later import later
from workdays import tasks
from workdays.models import CrewPlan, PlanRun, Workday
from workdays.rules.rest import WHOLE_DAY, Rest

PLANNED = [CrewPlan.State.DRAFT, CrewPlan.State.PUBLISHED]


def request_plan(
    day: Workday,
    actor: audit.Actor,
    effort: PlanRun.Effort = PlanRun.Effort.QUICK,
    rest: Rest = WHOLE_DAY,
) -> PlanRun:
    """Make a request for the worker, with a seed that the day had not before."""
    run = PlanRun.objects.create(
        day=day,
        asked_by=actor.person,
        effort=effort,
        seed=day.plan_runs.count() + 1,
        begins_at=rest.since,
        max_moved=rest.max_moved,
    )
    since = {"from": rest.since.isoformat(), "most moved": rest.max_moved} if rest.since else {}
    audit.record(actor, "asked for a plan", day, {"seed": run.seed, **since})
    later(tasks.run_plan, run.pk)
    return run


def plan_again(day: Workday) -> None:
    """Ask the worker for a new draft of a planned day; the published plan stays until replaced.

    Called inside the transaction of the change. A request that waits already will see the
    change; one that runs may not, so it is followed by another.
    """
    if not day.plans.filter(state__in=PLANNED).exists():
        return
    if day.plan_runs.filter(kind=PlanRun.Kind.PLAN, state=PlanRun.State.ASKED).exists():
        return
    request_plan(day, audit.by_rule("who-comes-changed"))
