"""Crews of a plan that is not saved yet, as people read them: what a search found so far."""

from collections.abc import Iterator, Mapping

from coordinator.models import Person
from workdays.models import Block, Job, PlanRun, Workday
from workdays.queries.blocks import work_blocks
from workdays.queries.crews import CrewView, JobView, rank
from workdays.queries.plan_runs import found_plan
from workdays.queries.planning import moment_of
from workdays.rules.crew_naming import crew_names
from workdays.rules.facts import Crew, Plan, PlannedJob


def found_crews(day: Workday, run: PlanRun) -> tuple[CrewView, ...]:
    """Return the crews found so far by block and name; two statements whatever their number."""
    plan, blocks = found_plan(run), work_blocks(day)
    people = Person.objects.in_bulk(sorted({_number(key) for key in _people(plan)}))
    numbers = sorted({_number(task.job) for crew in plan.crews for task in crew.jobs})
    jobs = Job.objects.select_related("kind", "section", "stone").in_bulk(numbers)
    names = crew_names(plan)
    views = [
        _crew(day, crew, blocks[crew.block], names[crew.block, crew.leader], people, jobs)
        for crew in plan.crews
        if crew.block < len(blocks) and _number(crew.leader) in people
    ]
    return tuple(sorted(views, key=lambda view: (view.starts_at, rank(view.name))))


def _number(key: str) -> int:
    return int(key[1:])


def _people(plan: Plan) -> Iterator[str]:
    for crew in plan.crews:
        yield from crew.members
        if crew.supervisor:
            yield crew.supervisor


def _crew(
    day: Workday,
    crew: Crew,
    block: Block,
    name: str,
    people: Mapping[int, Person],
    jobs: Mapping[int, Job],
) -> CrewView:
    lead = people[_number(crew.leader)]
    here = [people[_number(key)] for key in crew.members if _number(key) in people]
    return CrewView(
        pk=0,
        name=name,
        block_number=crew.block,
        block_name=block.name,
        starts_at=block.starts_at,
        ends_at=block.ends_at,
        lead=lead,
        supervisor=people.get(_number(crew.supervisor)) if crew.supervisor else None,
        people=tuple(sorted(here, key=lambda one: (one != lead, one.name))),
        pinned=frozenset(),
        locked=False,
        jobs=tuple(
            _job(day, task, jobs[_number(task.job)])
            for task in sorted(crew.jobs, key=lambda task: task.start)
            if _number(task.job) in jobs
        ),
    )


def _job(day: Workday, task: PlannedJob, job: Job) -> JobView:
    where = f"{job.section.name}, {job.stone.number}" if job.stone else job.section.name
    return JobView(
        pk=job.pk,
        job=job,
        kind=job.kind,
        where=where,
        section=job.section.name,
        stone=job.stone.number if job.stone else "",
        stone_type=job.stone.type if job.stone else "",
        starts_at=moment_of(day, task.start),
        ends_at=moment_of(day, task.end),
        equipment={},
        notes="",
        lift=None,
        pinned=False,
    )
