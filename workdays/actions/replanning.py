"""A day that is planned already is planned anew when who comes has changed."""

from coordinator import audit
from coordinator.later import later
from workdays import tasks
from workdays.models import CrewPlan, PlanRun, Workday

PLANNED = [CrewPlan.State.DRAFT, CrewPlan.State.PUBLISHED]


def plan_again(day: Workday) -> None:
    """Ask the worker for a new draft of a planned day; the published plan stays until replaced.

    Called inside the transaction of the change. A request that waits already will see the
    change; one that runs may not, so it is followed by another.
    """
    if not day.plans.filter(state__in=PLANNED).exists():
        return
    if day.plan_runs.filter(state=PlanRun.State.ASKED).exists():
        return
    run = PlanRun.objects.create(day=day, seed=day.plan_runs.count() + 1)
    audit.record(audit.by_rule("who-comes-changed"), "asked for a plan", day, {"seed": run.seed})
    later(tasks.run_plan, run.pk)
