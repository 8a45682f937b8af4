"""Planning again in the middle of a day: which jobs have begun and go on, what may not begin.

A job that has begun stays with its crew from its start, as long as those of the crew who are
there may go on with it by every rule. Where they may not (the lead or the supervisor has gone,
too few are left), work stops: the job is let go, and may begin anew later, with others.
That work stops when its lead leaves is common practice, no source.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from workdays.rules import crew_people, crew_work
from workdays.rules.facts import Crew, DayFacts, PersonFacts, Plan, PlannedJob, Violation


class Begun(NamedTuple):
    """Where a job has begun: block, leader, the quarter hour of its start."""

    block: int
    leader: str
    start: int


def going_on(facts: DayFacts) -> dict[str, Begun]:
    """Return the jobs of the published plan that have begun and go on where they are."""
    if facts.before is None or facts.now is None:
        return {}
    return {
        task.job: Begun(crew.block, crew.leader, task.start)
        for crew in facts.before.crews
        if crew.block < len(facts.blocks)
        for task in _goes_on(facts, crew, facts.now)
    }


def _goes_on(facts: DayFacts, crew: Crew, now: int) -> Iterator[PlannedJob]:
    """Give the begun jobs of a crew that those who are there may go on with, the last first.

    Who does the last does the others too, as one crew has the same people all through a block.
    """
    begun = [task for task in crew.jobs if task.start < now and task.job in facts.job]
    limit = facts.blocks[crew.block].end
    for task in sorted(begun, key=lambda one: (one.start, one.end), reverse=True):
        left = _left_of(facts, crew, task)
        if left.jobs[0].end <= limit and _may_go_on(facts, left):
            crew, limit = replace(crew, members=left.members), task.start
            yield task


def _may_go_on(facts: DayFacts, left: Crew) -> bool:
    if left.leader not in left.members or not _supervisor_stays(facts, left):
        return False
    people = [facts.person[key] for key in left.members]
    broken = [found for one in people for found in crew_people.of_person(facts, left, one)]
    broken += [*crew_people.of_crew(facts, left), *crew_work.of_crew(facts, left)]
    return not broken


def kept(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Rules of a plan that begins in the middle of a day: what has begun stays, no more begins."""
    if facts.before is None or facts.now is None:
        return
    stays, old, new = going_on(facts), _begun(facts.before, facts.now), _begun(plan, facts.now)
    for key in sorted(stays.keys() | new.keys()):
        wanted = stays.get(key) or (old.get(key) if key in new else None)
        if new.get(key) != wanted and key in facts.job:
            sentence = f"{facts.job[key].label} would begin, or change, before now."
            yield Violation("begun", (key,), sentence)


def begun_anew(old: Plan, new: Plan, now: int) -> list[str]:
    """Return the jobs that a newer plan lets begin before now where the old one does not."""
    was = _begun(old, now)
    return sorted(job for job, begun in _begun(new, now).items() if was.get(job) != begun)


def _begun(plan: Plan, now: int) -> dict[str, Begun]:
    return {
        task.job: Begun(crew.block, crew.leader, task.start)
        for crew in plan.crews
        for task in crew.jobs
        if task.start < now
    }


def _left_of(facts: DayFacts, crew: Crew, task: PlannedJob) -> Crew:
    """Return the crew with the one job as those do it who are there to its end: it lasts longer."""
    known = dict.fromkeys(key for key in crew.members if key in facts.person)
    members = [facts.person[key] for key in known]
    while True:
        end = task.start + facts.lasts(task.job, len(members)) if members else task.start
        stay = [one for one in members if _stays(one, members, task.start, end)]
        if len(stay) == len(members):
            jobs = (PlannedJob(task.job, task.start, end),)
            return replace(crew, members=tuple(one.id for one in stay), jobs=jobs)
        members = stay


def _stays(one: PersonFacts, others: list[PersonFacts], start: int, end: int) -> bool:
    """Return whether somebody is there for a job, a minor with the guardian."""
    there = one.waiver and one.arrive <= start and end <= one.leave
    return there and (one.adult or any(other.id == one.guardian for other in others))


def _supervisor_stays(facts: DayFacts, crew: Crew) -> bool:
    """Return whether the one who supervises a job is there until it ends, where it needs one."""
    if not crew_people.supervised_skills(facts, crew):
        return True
    supervisor, (task,) = facts.person.get(crew.supervisor or ""), crew.jobs
    return supervisor is not None and _stays(supervisor, [], task.start, task.end)
