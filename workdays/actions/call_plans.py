"""What a shortened, moved or called-off day does to its blocks and to the plans upon them."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django.db.models import F, Q

from coordinator import audit
from coordinator.audit import Actor
from workdays.models import Block, Crew, CrewJob, CrewPlan, Workday
from workdays.rules.day_frame import BlockTimes

State = CrewPlan.State


def retire_plans(day: Workday, *, actor: Actor, why: str) -> bool:
    """Make drafts and the published plan old; return whether one was published."""
    plans = CrewPlan.objects.filter(day=day).exclude(state=State.OLD)
    was_published = plans.filter(state=State.PUBLISHED).exists()
    for plan in list(plans):
        audit.record(actor, "retired", plan, {"day": day.pk, "state": plan.state, "why": why})
    plans.update(state=State.OLD)
    return was_published


def cut_blocks(
    day: Workday, blocks: Sequence[Block], cut: Sequence[BlockTimes | None], *, actor: Actor
) -> int:
    """Cut or drop blocks; return how many jobs of plans in use no longer lie in them.

    Crews of a dropped block are taken out of their plans, and written down in the audit.
    """
    kept = {b.pk: times for b, times in zip(blocks, cut, strict=True) if times is not None}
    dropped = [block for block in blocks if block.pk not in kept]
    lost = _jobs_outside(day, kept)
    _drop_crews(dropped, actor)
    Block.objects.filter(pk__in=[block.pk for block in dropped]).delete()
    for pk, times in kept.items():
        Block.objects.filter(pk=pk).update(starts_at=times.starts_at, ends_at=times.ends_at)
    return lost


def _jobs_outside(day: Workday, kept: Mapping[int, BlockTimes]) -> int:
    inside = Q(pk__in=[])
    for pk, times in kept.items():
        inside |= Q(crew__block=pk, starts_at__gte=times.starts_at, ends_at__lte=times.ends_at)
    jobs = CrewJob.objects.filter(crew__plan__day=day).exclude(crew__plan__state=State.OLD)
    return jobs.exclude(inside).count()


def _drop_crews(dropped: Sequence[Block], actor: Actor) -> None:
    crews = Crew.objects.filter(block__in=dropped).select_related("block", "plan")
    for crew in crews.prefetch_related("placements", "crew_jobs"):
        audit.record(actor, "dropped crew", crew.plan, _crew_values(crew))
        crew.delete()


def _crew_values(crew: Crew) -> dict[str, Any]:
    """Return a crew as ids and times, so that nothing of it is lost."""
    return {
        "crew": crew.name,
        "block": [crew.block.name, _iso(crew.block.starts_at), _iso(crew.block.ends_at)],
        "lead": crew.lead_id,
        "supervisor": crew.supervisor_id,
        "people": [row.person_id for row in crew.placements.all()],
        "jobs": [
            [row.job_id, _iso(row.starts_at), _iso(row.ends_at)] for row in crew.crew_jobs.all()
        ],
    }


def cut_crew_jobs(day: Workday, *, ends_at: datetime) -> None:
    """End what is under way with the day, and take out what would have begun later."""
    jobs = CrewJob.objects.filter(crew__plan__day=day).exclude(crew__plan__state=State.OLD)
    jobs.filter(starts_at__gte=ends_at).delete()
    jobs.filter(ends_at__gt=ends_at).update(ends_at=ends_at)
    plans = CrewPlan.objects.filter(day=day).exclude(state=State.OLD)
    plans.update(version=F("version") + 1)


def _iso(moment: datetime) -> str:
    return moment.isoformat(timespec="minutes")
