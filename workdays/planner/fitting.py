"""What would fit into a plan as it stands: a job into a crew, a person into a crew, one crew more.

Each answer is a whole plan that the checker has passed, with the points that it brings or costs.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from workdays.planner.hands import supervised
from workdays.planner.possible import Search
from workdays.planner.room import Scene, held_by, may_help, may_lead
from workdays.planner.timing import timed
from workdays.rules.crew import value, violations
from workdays.rules.facts import (
    Crew,
    DayFacts,
    JobFacts,
    PersonFacts,
    Plan,
    PlannedJob,
    Violation,
)

# Rules that look at more than one crew.
OF_THE_PLAN = {"supervisor", "pin", "after", "begun", "most moved", "equipment"}


@dataclass(frozen=True, slots=True)
class Fit:
    """A change that breaks no rule: the crew as it would be, and the points that it brings."""

    crew: Crew
    start: int
    gain: int


def fits_of_job(scene: Scene, job: JobFacts) -> Iterator[Fit]:
    """Each way to give a job to a crew that has time for it, and one crew more for it."""
    facts, plan = scene.facts, scene.plan
    for crew in plan.crews:
        if _could_do(facts, crew, job) and _has_kit(scene, crew, job):
            for start in _starts(facts, crew, job):
                task = PlannedJob(job.id, start, start + facts.lasts(job.id, len(crew.members)))
                more = replace(crew, jobs=(*crew.jobs, task))
                yield from _judged(scene, crew, more, start)
    more_of_its_own = Search(facts, scene.left, job).found()
    if more_of_its_own is not None:
        yield from _judged(scene, None, more_of_its_own, more_of_its_own.jobs[0].start)


def _could_do(facts: DayFacts, crew: Crew, job: JobFacts) -> bool:
    kind = facts.kind_of(job.id)
    members = [facts.person[key] for key in crew.members]
    fits = job.min_people <= len(members) <= job.max_people
    return (
        fits
        and may_lead(facts.person[crew.leader], job, kind)
        and all(may_help(p, job, kind) for p in members)
    )


def _has_kit(scene: Scene, crew: Crew, job: JobFacts) -> bool:
    """Whether the other crews leave enough of the equipment for the job."""
    left, own = scene.left.kit[crew.block], held_by(scene.facts, crew) if job.kit else {}
    return all(n <= left.get(key, 0) + own.get(key, 0) for key, n in job.kit.items())


def _starts(facts: DayFacts, crew: Crew, job: JobFacts) -> list[int]:
    """Starts in the gaps of a crew's block at which a job could lie."""
    members = [facts.person[key] for key in crew.members]
    block, lasts = facts.blocks[crew.block], facts.lasts(job.id, len(crew.members))
    lo = max([block.start, facts.now or 0, *(p.arrive for p in members)])
    hi = min([block.end, *(p.leave for p in members)])
    edges = {lo, *(task.end for task in crew.jobs), *(window.start for window in job.windows)}
    return sorted(
        start
        for start in edges
        if lo <= start
        and start + lasts <= hi
        and any(w.start <= start and start + lasts <= w.end for w in job.windows)
        and all(start + lasts <= t.start or t.end <= start for t in crew.jobs)
    )


def _judged(scene: Scene, old: Crew | None, new: Crew, start: int) -> Iterator[Fit]:
    changed = _with(scene.facts, scene.plan, old, new)
    if isinstance(changed, Plan):
        yield Fit(new, start, value(scene.facts, changed).total - scene.worth)


def _with(facts: DayFacts, plan: Plan, old: Crew | None, new: Crew) -> Plan | list[Violation]:
    """The plan with a crew changed or added, or what that would break."""
    kept = tuple(new if crew == old else crew for crew in plan.crews)
    after = Plan(kept if old is not None else (*kept, new))
    found = violations(facts, after)
    if found and any(v.rule == "supervisor" for v in found):
        after = supervised(facts, after)
        found = violations(facts, after)
    return found or after


def fits_of_person(
    scene: Scene, person: PersonFacts, skill: str | None = None
) -> tuple[list[Fit], list[tuple[str, list[str]]]]:
    """How somebody could join a crew: any while they are free, or one at work of a skill.

    Gives the ways, and the leader of each other crew with the rules that it would break; "leads"
    where they lead a crew meanwhile.
    """
    found: list[Fit] = []
    refused: list[tuple[str, list[str]]] = []
    facts, plan = scene.facts, scene.plan
    for crew in plan.crews:
        own = next((c for c in plan.crews if c.block == crew.block and _in(c, person)), None)
        taught = {facts.kind_of(task.job).skill for task in crew.jobs}
        if own == crew or not person.slots_in(facts.blocks[crew.block]):
            continue
        if (own is not None) if skill is None else skill not in taught:
            continue
        if own is not None and own.leader == person.id:
            refused.append((crew.leader, ["leads"]))
            continue
        changed, start = _moved(facts, plan, crew, person)
        broken = _alone(facts, changed, crew) or [v.rule for v in violations(facts, changed)]
        if broken:
            refused.append((crew.leader, broken))
        else:
            found.append(Fit(crew, start, value(facts, changed).total - scene.worth))
    return found, refused


def _alone(facts: DayFacts, plan: Plan, to: Crew) -> list[str]:
    """The rules that the crew breaks by itself, which is quickly asked on a large day."""
    crew = next(c for c in plan.crews if (c.block, c.leader) == (to.block, to.leader))
    found = [violation.rule for violation in violations(facts, Plan((crew,)))]
    return [rule for rule in found if rule not in OF_THE_PLAN]


def _in(crew: Crew, person: PersonFacts) -> bool:
    return person.id in crew.members


def _moved(facts: DayFacts, plan: Plan, to: Crew, person: PersonFacts) -> tuple[Plan, int]:
    """The plan with somebody in another crew, and the minors who have to come along."""
    block = facts.blocks[to.block]
    coming = [person.id]
    for minor in facts.people if facts.ratios.minors_follow else ():
        bound = not minor.adult and minor.guardian in coming and minor.slots_in(block)
        if bound and minor.id not in to.members:
            coming.append(minor.id)
    crews, start = [], block.start
    for crew in plan.crews:
        if crew.block != to.block:
            crews.append(crew)
            continue
        rest = tuple(key for key in crew.members if key not in coming)
        members = (*rest, *coming) if crew == to else rest
        if members == crew.members:
            crews.append(crew)
        elif members:
            jobs = timed(facts, crew.block, members, crew.jobs)
            crews.append(replace(crew, members=members, jobs=jobs))
            start = jobs[0].start if jobs and crew == to else start
    return Plan(tuple(crews)), start
