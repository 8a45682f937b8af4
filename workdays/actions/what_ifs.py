"""Ask what would change a plan."""

from django.db import transaction

from coordinator import audit
from coordinator.later import later
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import tasks
from workdays.models import CrewPlan, PlanRun
from workdays.queries.locking import locked_day
from workdays.rules.refusals import Refusal


@transaction.atomic
def ask_what_if(plan: CrewPlan, *, by: Person) -> PlanRun:
    """Ask the worker what would change a plan; a request that still runs is given instead.

    Raises Refused where the plan was replaced meanwhile.
    """
    day = locked_day(plan.day_id)
    row = CrewPlan.objects.select_for_update().get(pk=plan.pk)
    if row.state == CrewPlan.State.OLD:
        said = "Somebody changed this plan in the meantime; ask for the one that is shown now."
        raise Refused([Refusal("stale", said)])
    asked = PlanRun.objects.filter(kind=PlanRun.Kind.WHAT_IF, plan=row)
    running = asked.filter(state__in=PlanRun.OPEN).first()
    if running is not None:
        return running
    actor = audit.by_login(by)
    run = PlanRun.objects.create(
        day=day, kind=PlanRun.Kind.WHAT_IF, plan=row, asked_by=actor.person, seed=row.seed or 1
    )
    audit.record(actor, "asked what would change a plan", row, {"day": day.pk})
    later(tasks.run_plan, run.pk)
    return run
