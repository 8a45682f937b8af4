"""Plans as rows, read back as the plain value that the checker judges."""

from collections import defaultdict

from workdays.models import Block, CrewPlan
from workdays.rules.facts import Crew, Plan, PlannedJob


def plan_of(row: CrewPlan) -> Plan:
    """Return a stored plan as a value; four statements whatever its size."""
    day = row.day
    blocks = day.blocks.filter(kind=Block.Kind.WORK).order_by("starts_at")
    number = {pk: place for place, pk in enumerate(blocks.values_list("pk", flat=True))}
    crews = []
    rows = row.crews.order_by("block__starts_at", "lead_id")
    for crew in rows.prefetch_related("placements", "crew_jobs"):
        members = sorted(f"p{placement.person_id}" for placement in crew.placements.all())
        jobs = [
            PlannedJob(
                f"j{job.job_id}",
                round((job.starts_at - day.starts_at).total_seconds() / 900),
                round((job.ends_at - day.starts_at).total_seconds() / 900),
            )
            for job in crew.crew_jobs.all()
        ]
        crews.append(
            Crew(
                block=number[crew.block_id],
                leader=f"p{crew.lead_id}",
                members=tuple(members),
                jobs=tuple(sorted(jobs, key=lambda job: (job.start, job.job))),
                supervisor=f"p{crew.supervisor_id}" if crew.supervisor_id else None,
            )
        )
    return Plan(tuple(crews))


def crew_names(plan: Plan) -> dict[tuple[int, str], str]:
    """Return the name of each crew by block and leader.

    A crew keeps its name over the blocks of a day while its leader stays.
    """
    leaders: dict[str, int] = defaultdict(lambda: len(leaders) + 1)
    ordered = sorted(plan.crews, key=lambda crew: (crew.block, int(crew.leader[1:])))
    return {(crew.block, crew.leader): f"Crew {leaders[crew.leader]}" for crew in ordered}
