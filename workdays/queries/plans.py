"""Plans as rows, read back as the plain values that the checker judges and hands turn."""

from collections.abc import Iterable, Mapping

from workdays import models
from workdays.models import Block, CrewPlan, Workday
from workdays.planner.held import Held, pair_of
from workdays.queries.plan_keys import job_key, nearest_slot, person_key
from workdays.rules.facts import Crew, JobPin, PersonPin, Plan, PlannedJob


def shown_plan(day: Workday) -> CrewPlan | None:
    """Return the draft of a day if there is one, else the published plan."""
    plans = day.plans.exclude(state=CrewPlan.State.OLD)
    return plans.order_by("state", "-made_at", "-pk").first()  # "draft" sorts before "published"


def published_plan(day: Workday) -> CrewPlan | None:
    """Return the published plan of a day, if there is one."""
    return day.plans.filter(state=CrewPlan.State.PUBLISHED).first()


def plan_of(row: CrewPlan) -> Plan:
    """Return a stored plan as a value; four statements whatever its size."""
    return _plan(row, *_read(row))


def plan_and_held(row: CrewPlan) -> tuple[Plan, Held]:
    """Return a stored plan and what hands hold on it; seven statements whatever its size."""
    crews, number = _read(row)
    return _plan(row, crews, number), _held(row, crews, number)


def _read(row: CrewPlan) -> tuple[list[models.Crew], dict[int, int]]:
    """Return the rows of the crews, and the number of each block by its key."""
    blocks = row.day.blocks.filter(kind=Block.Kind.WORK).order_by("starts_at")
    number = {pk: place for place, pk in enumerate(blocks.values_list("pk", flat=True))}
    rows = row.crews.order_by("block__starts_at", "lead_id")
    return list(rows.prefetch_related("placements", "crew_jobs")), number


def _held(row: CrewPlan, crews: Iterable[models.Crew], number: Mapping[int, int]) -> Held:
    people, jobs, locked = set(), set(), set()
    for crew in crews:
        block, leader = number[crew.block_id], person_key(crew.lead_id)
        placed = (one for one in crew.placements.all() if one.pinned)
        people |= {PersonPin(person_key(one.person_id), block, leader) for one in placed}
        planned = (one for one in crew.crew_jobs.all() if one.pinned)
        jobs |= {JobPin(job_key(one.job_id), block, leader) for one in planned}
        if crew.locked:
            locked.add((block, leader))
    for block_id, person_id in row.stay_out.values_list("block_id", "person_id"):
        people.add(PersonPin(person_key(person_id), number[block_id], None))
    pairs = row.kept_apart.values_list("one_id", "other_id")
    apart = frozenset(pair_of(person_key(one), person_key(other)) for one, other in pairs)
    off = frozenset(job_key(job) for job in row.kept_out.values_list("job_id", flat=True))
    return Held(frozenset(people), frozenset(jobs), frozenset(locked), apart, off)


def _plan(row: CrewPlan, rows: Iterable[models.Crew], number: Mapping[int, int]) -> Plan:
    day = row.day
    crews = []
    for crew in rows:
        members = sorted(person_key(placement.person_id) for placement in crew.placements.all())
        jobs = [
            PlannedJob(
                job_key(job.job_id),
                nearest_slot(day, job.starts_at),
                nearest_slot(day, job.ends_at),
            )
            for job in crew.crew_jobs.all()
        ]
        crews.append(
            Crew(
                block=number[crew.block_id],
                leader=person_key(crew.lead_id),
                members=tuple(members),
                jobs=tuple(sorted(jobs, key=lambda job: (job.start, job.job))),
                supervisor=person_key(crew.supervisor_id) if crew.supervisor_id else None,
            )
        )
    return Plan(tuple(crews))


def names_in(row: CrewPlan) -> dict[tuple[int, str], str]:
    """Return the names of the crews of a stored plan by block and leader; two statements."""
    crews, number = _read(row)
    return {(number[crew.block_id], person_key(crew.lead_id)): crew.name for crew in crews}
