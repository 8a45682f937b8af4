"""What a plan is worth, term by term."""

from collections import defaultdict
from itertools import pairwise
from math import isqrt

from workdays.rules.crew_people import still_there
from workdays.rules.facts import Crew, DayFacts, JobFacts, Plan, Value

STRETCH_M = 10  # metres of a walk that cost points once


def value(facts: DayFacts, plan: Plan) -> Value:
    """Return the points of a plan, term by term; the plan is one that breaks no hard rule."""
    weights = facts.weights
    done = {task.job for crew in plan.crews for task in crew.jobs}
    return Value(
        priority=sum(facts.job[key].priority for key in done),
        training=weights.training * sum(_learners(facts, crew) for crew in plan.crews),
        split=-weights.split * _splits(facts, plan),
        section=-weights.section * sum(_extra_sections(facts, crew) for crew in plan.crews),
        change=-weights.change * _changes(plan),
        idle=-weights.idle * idle_slots(facts, plan),
        moved=-weights.moved * _moved(facts, plan),
        dropped=-weights.dropped * _dropped(facts, done),
        together=weights.together * _together(facts, plan),
        fairness=-weights.fairness * sum(_wearied(facts, crew) for crew in plan.crews),
        walk=-weights.walk * sum(walked(facts, crew) for crew in plan.crews),
    )


def _learners(facts: DayFacts, crew: Crew) -> int:
    taught = {facts.kind_of(task.job).skill for task in crew.jobs}
    return sum(facts.person[key].goal in taught for key in crew.members)


def _splits(facts: DayFacts, plan: Plan) -> int:
    crews: dict[tuple[int, str], set[str]] = defaultdict(set)
    for crew in plan.crews:
        for key in crew.members:
            party = facts.person[key].party
            if party is not None:
                crews[crew.block, party].add(crew.leader)
    return sum(len(leaders) - 1 for leaders in crews.values())


def _extra_sections(facts: DayFacts, crew: Crew) -> int:
    return max(0, len({facts.job[task.job].section for task in crew.jobs}) - 1)


def _changes(plan: Plan) -> int:
    leader = {(crew.block, key): crew.leader for crew in plan.crews for key in crew.members}
    later = (((block, key), (block + 1, key)) for block, key in leader)
    return sum(after in leader and leader[after] != leader[now] for now, after in later)


def idle_slots(facts: DayFacts, plan: Plan) -> int:
    """Quarter hours that people are present, in all blocks together, without work."""
    there = sum(person.slots_in(block) for person in facts.people for block in facts.blocks)
    worked = sum(
        (task.end - task.start) * len(crew.members) for crew in plan.crews for task in crew.jobs
    )
    return there - worked


def _moved(facts: DayFacts, plan: Plan) -> int:
    if facts.before is None:
        return 0
    leader = {(crew.block, key): crew.leader for crew in plan.crews for key in crew.members}
    return sum(
        leader.get((crew.block, key)) != crew.leader
        for crew in facts.before.crews
        for key in crew.members
        if still_there(facts, key, crew.block)
    )


def _dropped(facts: DayFacts, done: set[str]) -> int:
    if facts.before is None:
        return 0
    before = {task.job for crew in facts.before.crews for task in crew.jobs}
    return len(before - done)


def _together(facts: DayFacts, plan: Plan) -> int:
    return sum(
        one in crew.members and other in crew.members
        for crew in plan.crews
        for one, other in facts.together
    )


def _wearied(facts: DayFacts, crew: Crew) -> int:
    """How many of a crew do work that they have done enough of."""
    kinds = {facts.job[task.job].kind for task in crew.jobs}
    return sum(not kinds.isdisjoint(facts.person[key].enough) for key in crew.members)


def walked(facts: DayFacts, crew: Crew) -> int:
    """Whole stretches of ten metres from each stone of a crew to its next, as the crow flies."""
    tasks = sorted(crew.jobs, key=lambda task: (task.start, task.end))
    places = [facts.job[task.job] for task in tasks]
    return sum(_stretches(one, other) for one, other in pairwise(places))


def _stretches(one: JobFacts, other: JobFacts) -> int:
    """Whole tens of metres between two jobs; in whole decimetres, so that all count alike."""
    east, north = decimetres(one.x) - decimetres(other.x), decimetres(one.y) - decimetres(other.y)
    return isqrt(east * east + north * north) // (10 * STRETCH_M)


def decimetres(metres: float) -> int:
    """A length in whole tenths of a metre."""
    return round(10 * metres)
