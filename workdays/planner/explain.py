"""Why a job is not done, why a person is not placed or not on what they asked to learn.

Each answer is one plain sentence with the first condition that fails, asked over the facts and
the plan from the most lasting (no waiver, nobody may lead) to the most passing (no time left).
Where no single condition fails, other work was worth more, and the sentence says so.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from workdays.rules.facts import (
    SIGNED_OFF,
    SUPERVISOR,
    BlockFacts,
    DayFacts,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
)


@dataclass(frozen=True, slots=True)
class Reason:
    """Why something is left out: `what` is "job", "person" or "goal", `id` whose, and the words."""

    what: str
    id: str
    sentence: str


def explain(facts: DayFacts, plan: Plan) -> list[Reason]:
    """Return a reason for each job not done, each person not placed, each goal not met."""
    done = {task.job for crew in plan.crews for task in crew.jobs}
    placed = {key for crew in plan.crews for key in crew.members}
    learned = _learned(facts, plan)
    jobs = [Reason("job", j.id, why_no_job(facts, plan, j)) for j in facts.jobs if j.id not in done]
    people = [
        Reason("person", p.id, why_no_place(facts, plan, p))
        for p in facts.people
        if p.id not in placed
    ]
    goals = [
        Reason("goal", p.id, why_no_lesson(facts, p))
        for p in facts.people
        if p.id in placed and p.goal and p.id not in learned
    ]
    return jobs + people + goals


def _learned(facts: DayFacts, plan: Plan) -> set[str]:
    return {
        key
        for crew in plan.crews
        for key in crew.members
        if facts.person[key].goal in {facts.kind_of(task.job).skill for task in crew.jobs}
    }


def why_no_job(facts: DayFacts, plan: Plan, job: JobFacts) -> str:
    """The binding reason why a job is not done, in one sentence."""
    return (
        _order(facts, plan, job)
        or _never(facts, job)
        or _people(facts, job)
        or _today(facts, plan, job)
        or "Other work was worth more in the time there is."
    )


def _order(facts: DayFacts, plan: Plan, job: JobFacts) -> str:
    done = {task.job for crew in plan.crews for task in crew.jobs}
    for first in job.after:
        if first == job.id or _leads_to(facts, first, job.id, set()):
            return "The jobs that must come before it wait for each other in a circle."
        if first not in facts.job:
            return f"{first}, which must come before it, is not among the jobs of the day."
        if first not in done:
            return f"{facts.job[first].label}, which must come before it, is not done."
    return ""


def _leads_to(facts: DayFacts, start: str, goal: str, seen: set[str]) -> bool:
    """Whether `goal` must be finished before `start`, directly or through others."""
    waiting = [start]
    while waiting:
        key = waiting.pop()
        if key in seen or key not in facts.job:
            continue
        seen.add(key)
        if goal in facts.job[key].after:
            return True
        waiting += facts.job[key].after
    return False


def _never(facts: DayFacts, job: JobFacts) -> str:
    """Reasons that hold whoever comes: blocked, hours, length, equipment."""
    most = min(job.max_people, facts.ratios.max_crew)
    if job.blocked:
        return job.blocked
    if most < max(job.min_people, facts.ratios.min_crew):
        return f"It takes at least {job.min_people} people; a crew has at most {most}."
    for item, count in sorted(job.kit.items()):
        if count > facts.kit.get(item, 0):
            return f"It takes {count} of {item}; {_are_there(facts.kit.get(item, 0))}."
    if not list(_stretches(facts, job, 0)):
        return "The hours in which it may be done lie outside the day's hours of work."
    if not list(_stretches(facts, job, facts.lasts(job.id, most))):
        return f"Even with {most} people it takes longer than any stretch in which it may be done."
    return ""


def _stretches(facts: DayFacts, job: JobFacts, lasts: int) -> Iterator[tuple[int, int]]:
    """Stretches of the day in which the job may lie, at least so long."""
    for block in facts.blocks:
        for window in job.windows:
            start, end = max(block.start, window.start), min(block.end, window.end)
            if end - start >= max(lasts, 1):
                yield start, end


def _are_there(n: int, who: str = "") -> str:
    """Return "1 is there" or "2 who may do such work are there"."""
    return " ".join(filter(None, [str(n), who, "is there" if n == 1 else "are there"]))


def _people(facts: DayFacts, job: JobFacts) -> str:
    """Reasons that lie in who comes: leaders, supervisors, helpers, lifters."""
    kind = facts.kind_of(job.id)
    leaders = [p for p in _there(facts, job) if _may_lead(p, job, kind)]
    what = kind.label or kind.id
    if not leaders:
        return _no_leader(facts, job, kind, what)
    if kind.needs_supervisor:
        masters = [p for p in _there(facts, job) if p.level(kind.skill) >= SUPERVISOR]
        if not any(p.leads and p.adult for p in masters):
            return f"No supervisor of {what} is there in the hours in which it may be done."
        if reason := _late(facts, job, masters, f"supervisor of {what}"):
            return reason
    return _helpers(facts, job, kind, leaders) or _late(facts, job, leaders, f"leader for {what}")


def _no_leader(facts: DayFacts, job: JobFacts, kind: KindFacts, what: str) -> str:
    if kind.needs_conservator and not any(p.conservator and p.leads for p in facts.people):
        return f"No conservator comes who could lead {what}."
    if any(_may_lead(p, job, kind) and p.waiver for p in facts.people):
        return f"Nobody who may lead {what} is there in the hours in which it may be done."
    if any(_may_lead(p, job, kind) for p in facts.people):
        return f"Nobody who may lead {what} has a valid waiver."
    return f"Nobody who comes may lead {what}."


def _may_lead(person: PersonFacts, job: JobFacts, kind: KindFacts) -> bool:
    able = person.leads and person.adult and person.level(kind.skill) >= kind.leader_level
    fits = person.conservator or not kind.needs_conservator
    return able and fits and may_help(person, job, kind)


def may_help(person: PersonFacts, job: JobFacts, kind: KindFacts) -> bool:
    """Whether a person may be in a crew that does a job, as far as it lies in the person."""
    heavy = kind.lifts or job.lifters > 0
    if kind.id in person.barred or person.level(kind.skill) < kind.helper_level:
        return False
    if person.light and heavy:
        return False
    return person.adult or not (heavy or kind.adults_only)


def _there(facts: DayFacts, job: JobFacts) -> list[PersonFacts]:
    """People with a waiver who are present in some stretch of the job."""
    stretches = list(_stretches(facts, job, 0))
    return [
        p
        for p in facts.people
        if p.waiver and any(max(p.arrive, lo) < min(p.leave, hi) for lo, hi in stretches)
    ]


def _late(facts: DayFacts, job: JobFacts, people: list[PersonFacts], who: str) -> str:
    """A sentence where nobody of these is there long enough in any stretch."""
    lasts = facts.lasts(job.id, min(job.max_people, facts.ratios.max_crew))
    stretches = list(_stretches(facts, job, lasts))
    for p in people:
        for lo, hi in stretches:
            if min(p.leave, hi) - max(p.arrive, lo) >= lasts:
                return ""
    first = min(p.arrive for p in people)
    last = max(p.leave for p in people)
    if first > min(lo for lo, _ in stretches):
        return f"No {who} is there before {facts.clock(first)}, and then the time is too short."
    return f"No {who} is there after {facts.clock(last)}, and until then the time is too short."


def _helpers(facts: DayFacts, job: JobFacts, kind: KindFacts, leaders: list[PersonFacts]) -> str:
    able = [p for p in _there(facts, job) if may_help(p, job, kind)]
    if len(able) < max(job.min_people, facts.ratios.min_crew):
        who = _are_there(len(able), "who may do such work")
        return f"It takes {job.min_people} people; {who}."
    if sum(p.lift for p in able) < job.lifters:
        return f"It takes {job.lifters} who can lift; {_are_there(sum(p.lift for p in able))}."
    largest = max(sum(_speak(p, leader) for p in able) for leader in leaders)
    if largest < job.min_people:
        return "Too few people share a language with somebody who may lead it."
    competent = sum(p.level(kind.skill) >= SIGNED_OFF for p in able)
    new = sum(p.level(kind.skill) == 0 for p in able)
    ratio = kind.new_per_competent
    if ratio is not None and len(able) - new + min(new, ratio * competent) < job.min_people:
        return f"Too many new people for {competent} signed off in {kind.skill}."
    return ""


def _speak(one: PersonFacts, other: PersonFacts) -> bool:
    return not one.langs or not other.langs or bool(set(one.langs) & set(other.langs))


def _today(facts: DayFacts, plan: Plan, job: JobFacts) -> str:
    """Reasons that lie in the plan: equipment in use, supervisors with all their crews."""
    kind = facts.kind_of(job.id)
    free = [i for i, block in enumerate(facts.blocks) if _may_lie_in(facts, job, block)]
    for item, count in sorted(job.kit.items()):
        if all(facts.kit[item] - _in_use(facts, plan, i, item) < count for i in free):
            return f"All of {item} is in use in the hours in which it may be done."
    if kind.needs_supervisor and all(_supervisors_full(facts, plan, i, kind) for i in free):
        return f"Every supervisor of {kind.label or kind.id} already has all the crews allowed."
    return ""


def _may_lie_in(facts: DayFacts, job: JobFacts, block: BlockFacts) -> bool:
    lasts = facts.lasts(job.id, min(job.max_people, facts.ratios.max_crew))
    return any(
        block.start <= start and end <= block.end for start, end in _stretches(facts, job, lasts)
    )


def _in_use(facts: DayFacts, plan: Plan, block: int, item: str) -> int:
    held = [
        max((facts.job[task.job].kit.get(item, 0) for task in crew.jobs), default=0)
        for crew in plan.crews
        if crew.block == block
    ]
    return sum(held)


def _supervisors_full(facts: DayFacts, plan: Plan, block: int, kind: KindFacts) -> bool:
    masters = [
        p
        for p in facts.people
        if p.leads and p.level(kind.skill) >= SUPERVISOR and p.slots_in(facts.blocks[block])
    ]
    crews = [c.supervisor for c in plan.crews if c.block == block]
    return all(crews.count(p.id) >= facts.ratios.crews_per_supervisor for p in masters)


def why_no_place(facts: DayFacts, plan: Plan, person: PersonFacts) -> str:
    """The binding reason why a person is in no crew, in one sentence."""
    if not person.waiver:
        return "No valid waiver is on file."
    if not any(person.slots_in(block) for block in facts.blocks):
        return "Not there in the hours of work."
    if not person.adult and (reason := _no_guardian(facts, plan, person)):
        return reason
    if any(pin.person == person.id and pin.leader is None for pin in facts.pins):
        return "Left out by hand."
    if not facts.jobs:
        return "No job is ready."
    return _no_crew_for(facts, plan, person)


def _no_guardian(facts: DayFacts, plan: Plan, minor: PersonFacts) -> str:
    guardian = facts.person.get(minor.guardian or "")
    if guardian is None:
        return "A minor whose guardian does not come."
    if not any(guardian.slots_in(b) and minor.slots_in(b) for b in facts.blocks):
        return f"A minor whose guardian, {guardian.label}, is not there at the same time."
    if not any(guardian.id in crew.members for crew in plan.crews):
        return f"A minor whose guardian, {guardian.label}, is in no crew."
    return ""


def _no_crew_for(facts: DayFacts, plan: Plan, person: PersonFacts) -> str:
    """Reasons that lie in who else comes and what there is to do."""
    leaders = [p for p in facts.people if p.leads and p.adult and p.waiver]
    able = [job for job in facts.jobs if may_help(person, job, facts.kind_of(job.id))]
    if not leaders:
        return "Nobody who comes may lead a crew."
    if not any(_speak(person, leader) for leader in leaders):
        return "Shares no language with anybody who may lead."
    if not able:
        return "No job of the day is one that this person may do."
    done = {task.job for crew in plan.crews for task in crew.jobs}
    left = [job for job in able if job.id not in done]
    if left and all(_never(facts, job) or _people(facts, job) for job in left):
        return "For the jobs left over: " + _lower(why_no_job(facts, plan, left[0]))
    if not left:
        return "All jobs that this person may do are done by others."
    return "Every crew has enough people, and no crew more is worth making."


def _lower(sentence: str) -> str:
    return sentence[0].lower() + sentence[1:]


def why_no_lesson(facts: DayFacts, person: PersonFacts) -> str:
    """The binding reason why a person is not on the skill they asked to learn."""
    jobs = [job for job in facts.jobs if facts.kind_of(job.id).skill == person.goal]
    if not jobs:
        return f"No job of {person.goal} is ready."
    able = [job for job in jobs if may_help(person, job, facts.kind_of(job.id))]
    if not able:
        return _why_barred(facts, person, jobs[0])
    reasons = [_never(facts, job) or _people(facts, job) for job in able]
    if all(reasons):
        return reasons[0]
    return f"A place at {person.goal} was worth more to the plan with somebody else, or elsewhere."


def _why_barred(facts: DayFacts, person: PersonFacts, job: JobFacts) -> str:
    kind = facts.kind_of(job.id)
    if not person.adult:
        return f"Minors are not at {kind.label or kind.id}."
    if person.light:
        return f"Light work only, and {kind.label or kind.id} is not."
    if person.level(kind.skill) < kind.helper_level:
        return f"{kind.label or kind.id} takes helpers who have learned it before."
    return f"Cannot do {kind.label or kind.id}."
