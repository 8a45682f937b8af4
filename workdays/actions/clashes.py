"""Let go of a pin that clashes with others, on a plan that may itself hold no more."""

from django.db import transaction
from django.db.models import Q

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.plans import refuse_shut
from workdays.models import Block, Crew, CrewJob, CrewPlan, Placement
from workdays.queries.blocks import work_blocks
from workdays.queries.locking import locked_day
from workdays.rules.refusals import Refusal

GONE = "That is not pinned any more."


@transaction.atomic
def let_go(plan: CrewPlan, *, what: str, number: int, block: int, by: Person) -> None:
    """Take the pin of a person in a block, or of a job, out of the plan as it stands.

    A lock that holds them there is taken off. No new plan is made, as the day may have changed
    so that this one breaks a rule. Raises Refused where the plan was replaced, or nothing holds.
    """
    day = locked_day(plan.day_id)
    refuse_shut(day)
    row = CrewPlan.objects.select_for_update().get(pk=plan.pk)
    blocks = work_blocks(day)
    if row.state == CrewPlan.State.OLD or not 0 <= block < len(blocks):
        raise Refused([Refusal("gone", GONE)])
    if not _unpinned(row, what, number, blocks[block]):
        raise Refused([Refusal("gone", GONE)])
    for run in day.plan_runs.exclude(clash=[]):
        for pin in run.clash:
            pin["gone"] |= (pin["what"], pin["number"], pin["block"]) == (what, number, block)
        run.save(update_fields=["clash"])
    audit.record(
        audit.by_login(by), "let a pin go", row, {"what": what, "number": number, "block": block}
    )


def _unpinned(row: CrewPlan, what: str, number: int, block: Block) -> int:
    """Take out what holds; return how much did."""
    crews = Crew.objects.filter(plan=row, block=block)
    if what == "person":
        inside = Q(placements__person=number)
        placements = Placement.objects.filter(crew__in=crews, person=number, pinned=True)
        freed = placements.update(pinned=False)
        freed += row.stay_out.filter(block=block, person=number).delete()[0]
    else:
        inside = Q(crew_jobs__job=number)
        jobs = CrewJob.objects.filter(crew__in=crews, job=number, pinned=True)
        freed = jobs.update(pinned=False)
    locked = crews.filter(inside, locked=True).values_list("pk", flat=True)
    return freed + Crew.objects.filter(pk__in=list(locked)).update(locked=False)
