"""Crews of a plan that is not saved yet, as people read them: what a search found so far."""

from collections.abc import Mapping

from coordinator.models import Person
from workdays.models import Block, Job, PlanRun, Workday
from workdays.queries.blocks import work_blocks
from workdays.queries.crews import CrewView, JobView, in_order, lead_first
from workdays.queries.plan_keys import moment_of, row_number
from workdays.queries.plan_runs import found_plan
from workdays.rules.crew_naming import crew_names
from workdays.rules.facts import Crew


def found_crews(day: Workday, run: PlanRun) -> tuple[CrewView, ...]:
    """Return the crews found so far by block and name; two statements whatever their number.

    Who or what is gone from the database meanwhile is left out, and the crew of such a lead.
    """
    plan, blocks = found_plan(run), work_blocks(day)
    keys = {key for crew in plan.crews for key in (*crew.members, crew.supervisor) if key}
    people = Person.objects.in_bulk(sorted(map(row_number, keys)))
    numbers = sorted({row_number(task.job) for crew in plan.crews for task in crew.jobs})
    jobs = Job.objects.select_related("kind", "section", "stone").in_bulk(numbers)
    names = crew_names(plan)
    return tuple(
        in_order(
            _crew(day, crew, blocks[crew.block], names[crew.block, crew.leader], people, jobs)
            for crew in plan.crews
            if crew.block < len(blocks) and row_number(crew.leader) in people
        )
    )


def _crew(
    day: Workday,
    crew: Crew,
    block: Block,
    name: str,
    people: Mapping[int, Person],
    jobs: Mapping[int, Job],
) -> CrewView:
    lead = people[row_number(crew.leader)]
    here = [people[number] for number in map(row_number, crew.members) if number in people]
    return CrewView(
        pk=0,
        name=name,
        block_number=crew.block,
        block=block,
        lead=lead,
        supervisor=people.get(row_number(crew.supervisor)) if crew.supervisor else None,
        people=lead_first(here, lead),
        jobs=tuple(
            JobView(
                jobs[row_number(task.job)], moment_of(day, task.start), moment_of(day, task.end)
            )
            for task in sorted(crew.jobs, key=lambda task: task.start)
            if row_number(task.job) in jobs
        ),
    )
