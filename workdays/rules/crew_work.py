"""Hard rules about work: which crew may do which job, when, and with what equipment."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from itertools import pairwise

from workdays.rules.counting import heads
from workdays.rules.facts import (
    NEW,
    SIGNED_OFF,
    Crew,
    DayFacts,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
    PlannedJob,
    Violation,
)


def of_crew(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    """Rules about each job of a crew and about the order of its jobs."""
    members = [facts.person[key] for key in dict.fromkeys(crew.members)]
    for task in crew.jobs:
        job, kind = facts.job[task.job], facts.kind_of(task.job)
        yield from _levels(facts.person[crew.leader], members, job, kind)
        yield from _protected(members, job, kind)
        yield from _size(members, job)
        yield from _hours(facts, crew, task)
        yield from _present(facts, members, task)
    yield from _overlaps(facts, crew)


def _levels(
    leader: PersonFacts, members: list[PersonFacts], job: JobFacts, kind: KindFacts
) -> Iterator[Violation]:
    if leader.level(kind.skill) < kind.leader_level:
        sentence = f"{leader.label} may not lead {job.label}: the level in {kind.skill} is too low."
        yield Violation("leader's level", (leader.id, job.id), sentence)
    if kind.needs_conservator and not leader.conservator:
        sentence = f"{leader.label} may not lead {job.label}: a conservator leads it."
        yield Violation("conservator", (leader.id, job.id), sentence)
    for member in members:
        if member.level(kind.skill) < kind.helper_level:
            sentence = f"{member.label} may not help with {job.label} yet."
            yield Violation("helper's level", (member.id, job.id), sentence)
    yield from _new_people(members, job, kind)


def _new_people(members: list[PersonFacts], job: JobFacts, kind: KindFacts) -> Iterator[Violation]:
    if kind.new_per_competent is None:
        return
    new = [member for member in members if member.level(kind.skill) == NEW]
    competent = sum(member.level(kind.skill) >= SIGNED_OFF for member in members)
    if len(new) > kind.new_per_competent * competent:
        sentence = f"{job.label} has {heads(len(new), 'new')} for {competent} signed off."
        yield Violation("new people", (job.id, *(member.id for member in new)), sentence)


def _protected(members: list[PersonFacts], job: JobFacts, kind: KindFacts) -> Iterator[Violation]:
    heavy = kind.lifts or job.lifters > 0
    for member in members:
        if not member.adult and (heavy or kind.adults_only):
            sentence = f"{member.label} is a minor and may not be at {job.label}."
            yield Violation("adults only", (member.id, job.id), sentence)
        if member.light and heavy:
            sentence = f"{member.label} does light work only and may not be at {job.label}."
            yield Violation("light work", (member.id, job.id), sentence)
        if kind.id in member.barred:
            sentence = f"{member.label} has limits that keep them from {job.label}."
            yield Violation("limits", (member.id, job.id), sentence)


def _size(members: list[PersonFacts], job: JobFacts) -> Iterator[Violation]:
    size, lifters = len(members), sum(member.lift for member in members)
    if size < job.min_people or size > job.max_people:
        wanted = f"it takes {job.min_people} to {job.max_people}"
        yield Violation("people", (job.id,), f"{job.label} has {heads(size)}; {wanted}.")
    if lifters < job.lifters:
        sentence = f"{job.label} has {lifters} who can lift; it takes {job.lifters}."
        yield Violation("lifters", (job.id,), sentence)
    if job.blocked:
        yield Violation("blocked", (job.id,), job.blocked)


def _hours(facts: DayFacts, crew: Crew, task: PlannedJob) -> Iterator[Violation]:
    job, block = facts.job[task.job], facts.blocks[crew.block]
    times = f"{facts.clock(task.start)} to {facts.clock(task.end)}"
    if task.start < block.start or task.end > block.end:
        sentence = f"{job.label} ({times}) does not lie inside the {block.name}."
        yield Violation("block", (job.id,), sentence)
    if not any(w.start <= task.start and task.end <= w.end for w in job.windows):
        sentence = f"{job.label} ({times}) does not lie inside the hours it may be done."
        yield Violation("window", (job.id,), sentence)
    people = max(1, len(set(crew.members)))
    if task.end - task.start != facts.lasts(job.id, people):
        sentence = f"{job.label} ({times}) does not last as it takes {heads(people)}."
        yield Violation("length", (job.id,), sentence)


def _present(facts: DayFacts, members: list[PersonFacts], task: PlannedJob) -> Iterator[Violation]:
    for member in members:
        if task.start < member.arrive or task.end > member.leave:
            sentence = f"{member.label} is not there during all of {facts.job[task.job].label}."
            yield Violation("presence", (member.id, task.job), sentence)


def _overlaps(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    for one, other in pairwise(sorted(crew.jobs, key=lambda t: (t.start, t.end))):
        if other.start < one.end:
            names = f"{facts.job[one.job].label} and {facts.job[other.job].label}"
            yield Violation("overlap", (one.job, other.job), f"{names} overlap in one crew.")


def of_day(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Rules about work over the whole day: done once, in order, with what is there."""
    yield from _once(facts, plan)
    yield from _equipment(facts, plan)
    yield from _after(facts, plan)


def _once(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    times = Counter(task.job for crew in plan.crews for task in crew.jobs)
    for key, count in times.items():
        if count > 1:
            sentence = f"{facts.job[key].label} is planned {count} times."
            yield Violation("once", (key,), sentence)


def _equipment(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    held: dict[tuple[int, str], int] = defaultdict(int)
    for crew in plan.crews:
        most: Counter[str] = Counter()
        for task in crew.jobs:
            most |= Counter(facts.job[task.job].kit)
        for item, count in most.items():
            held[crew.block, item] += count
    for (block, item), count in held.items():
        there = facts.kit.get(item, 0)
        if count > there:
            where = facts.blocks[block].name
            what = f"{count} x {facts.labels.get(item, item)}"
            are = "is" if there == 1 else "are"
            sentence = f"The {where} takes {what}; {there} {are} there."
            yield Violation("equipment", (item,), sentence)


def _after(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    done = {task.job: (crew, task) for crew in plan.crews for task in crew.jobs}
    for key, (crew, task) in done.items():
        for first in facts.job[key].after:
            if not _earlier(done.get(first), crew, task):
                label = facts.job[first].label if first in facts.job else first
                sentence = f"{facts.job[key].label} comes before {label} is finished."
                yield Violation("after", (key, first), sentence)


def _earlier(first: tuple[Crew, PlannedJob] | None, crew: Crew, task: PlannedJob) -> bool:
    if first is None:
        return False
    other, earlier = first
    if other.block != crew.block:
        return other.block < crew.block
    return other.leader == crew.leader and earlier.end <= task.start and earlier != task
