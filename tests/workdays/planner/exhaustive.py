"""The best plan of a tiny day by trying everything; shares no code with the planner.

Who is with whom, who does what, in which order, under whom: all of it is tried and judged by
the checker, so that it is right by construction, and slow.
"""

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations, product

from workdays.rules.crew import value, violations
from workdays.rules.facts import Crew, DayFacts, Plan, PlannedJob

LATER = {"supervisor", "after", "guardian", "pin"}


def best_value(facts: DayFacts) -> int:
    """The most points that any plan without a violation has."""
    best = value(facts, Plan()).total
    for crews in product(*(list(_crews(facts, b)) for b in range(len(facts.blocks)))):
        teams = [crew for block in crews for crew in block]
        for work in product(*(_takers(facts, teams, job.id) for job in facts.jobs)):
            given = _given(facts, teams, work)
            still = replace(facts, weights=replace(facts.weights, walk=0))
            if value(still, Plan(given)).total > best:
                best = max([best, *_worth(facts, given)])
    return best


def _crews(facts: DayFacts, b: int) -> Iterator[tuple[Crew, ...]]:
    """Every way to put people into crews of a block."""
    ids = [person.id for person in facts.people]
    for leaders in product([None, *ids], repeat=len(ids)):
        led = dict(zip(ids, leaders, strict=True))
        if any(leader is not None and led[leader] != leader for leader in leaders):
            continue
        crews = tuple(
            Crew(b, leader, tuple(key for key in ids if led[key] == leader))
            for leader in sorted({key for key in leaders if key is not None})
        )
        if not [v for v in violations(replace(facts, pins=()), Plan(crews)) if v.rule != "pin"]:
            yield crews


def _takers(facts: DayFacts, teams: list[Crew], job: str) -> list[int]:
    """The crews that could do a job, were it the only one; -1: it is not done."""
    found = [-1]
    for i, crew in enumerate(teams):
        alone = replace(crew, jobs=(PlannedJob(job, 0, facts.lasts(job, len(crew.members))),))
        rules = [{v.rule for v in violations(facts, Plan((way,)))} for way in _ways(facts, alone)]
        if any(broken <= LATER for broken in rules):
            found.append(i)
    return found


def _given(facts: DayFacts, teams: list[Crew], work: tuple[int, ...]) -> tuple[Crew, ...]:
    given = []
    for i, crew in enumerate(teams):
        jobs = [job.id for job, team in zip(facts.jobs, work, strict=True) if team == i]
        lasts = [facts.lasts(job, len(crew.members)) for job in jobs]
        tasks = [PlannedJob(job, 0, n) for job, n in zip(jobs, lasts, strict=True)]
        given.append(replace(crew, jobs=tuple(tasks)))
    return tuple(given)


def _worth(facts: DayFacts, given: tuple[Crew, ...]) -> Iterator[int]:
    """The points of each order of each crew's jobs, under each supervisor, that breaks no rule."""
    for crews in product(*(list(_ways(facts, crew)) for crew in given)):
        if not violations(facts, Plan(crews)):
            yield value(facts, Plan(crews)).total
            if not facts.weights.walk:
                return


def _ways(facts: DayFacts, crew: Crew) -> Iterator[Crew]:
    needed = any(facts.kind_of(task.job).needs_supervisor for task in crew.jobs)
    masters = [p.id for p in facts.people if needed and max([0, *p.levels.values()]) >= 3]
    for order in permutations(crew.jobs):
        for master in [None, *masters] if not needed else masters:
            yield _early(facts, replace(crew, jobs=order, supervisor=master))


def _early(facts: DayFacts, crew: Crew) -> Crew:
    """Each job as early as its hours, the crew and the supervisor allow."""
    people = [facts.person[key] for key in crew.members]
    now = max([facts.blocks[crew.block].start, *(p.arrive for p in people)])
    tasks = []
    for task in crew.jobs:
        job, lasts = facts.job[task.job], task.end - task.start
        if facts.kind_of(task.job).needs_supervisor and crew.supervisor:
            now = max(now, facts.person[crew.supervisor].arrive)
        starts = [max(now, w.start) for w in job.windows if max(now, w.start) + lasts <= w.end]
        start = min(starts, default=now)
        tasks.append(PlannedJob(task.job, start, start + lasts))
        now = start + lasts
    return replace(crew, jobs=tuple(tasks))
