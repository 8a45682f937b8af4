"""Changes of a plan by hand: each gives the whole changed plan, or what it would break.

Times are worked out anew wherever a crew's size changes: jobs keep their order and follow one
another, waiting for their hours. The result is judged by the checker, never by this module.
"""

from dataclasses import replace

from workdays.planner.timing import timed, untimed
from workdays.rules.crew import value, violations
from workdays.rules.facts import (
    SUPERVISOR,
    Crew,
    DayFacts,
    PersonFacts,
    Plan,
    PlannedJob,
    Violation,
)

Changed = Plan | list[Violation]


def move_person(
    facts: DayFacts, plan: Plan, *, person: str, block: int, to_leader: str | None
) -> Changed:
    """Put a person into the crew of a leader in a block, or into none (None).

    A leader who moves away leaves the crew to its first member who can lead all of it; a person
    moved to themself begins a crew. Minors go along with their guardian. Returns the plan, or
    every rule that it would break.
    """
    if person not in facts.person or (to_leader is not None and to_leader not in facts.person):
        return [Violation("unknown", (person,), "Nobody of that name comes to this day.")]
    crews = list(plan.crews)
    for key in (person, *followers(facts, plan, person, block)):
        crews = _left(facts, crews, key, block)
        if to_leader is not None:
            crews = _with(facts, crews, key, block, to_leader)
    return judged(facts, plan, Plan(tuple(crews)))


def followers(facts: DayFacts, plan: Plan, person: str, block: int) -> list[str]:
    """Minors who go where their guardian goes: those with the guardian, or as free, right now."""
    where = {key: c.leader for c in plan.crews if c.block == block for key in c.members}
    return [
        minor.id
        for minor in facts.people
        if not minor.adult
        and minor.guardian == person
        and where.get(minor.id) == where.get(person)
        and minor.slots_in(facts.blocks[block])
    ]


def _left(facts: DayFacts, crews: list[Crew], person: str, block: int) -> list[Crew]:
    """The crews of a day once a person has left theirs of a block."""
    rest = (_without(facts, crew, person) if crew.block == block else crew for crew in crews)
    return [crew for crew in rest if crew is not None]


def remove_job(facts: DayFacts, plan: Plan, *, job: str) -> Changed:
    """Take a job out of the plan."""
    crews = tuple(
        _timed(facts, replace(crew, jobs=tuple(t for t in crew.jobs if t.job != job)))
        for crew in plan.crews
    )
    return judged(facts, plan, Plan(crews))


def add_job(facts: DayFacts, plan: Plan, *, job: str, block: int, to_leader: str) -> Changed:
    """Give a job to a crew, as its last of the block; it leaves the crew that had it."""
    if job not in facts.job:
        return [Violation("unknown", (job,), f"The day has no job called {job}.")]
    if not any(crew.block == block and crew.leader == to_leader for crew in plan.crews):
        return [Violation("unknown", (to_leader,), "There is no such crew in that block.")]
    crews = []
    for crew in plan.crews:
        tasks = tuple(t for t in crew.jobs if t.job != job)
        if crew.block == block and crew.leader == to_leader:
            tasks += (untimed(facts, job, block),)
        changed = tasks != crew.jobs
        crews.append(_timed(facts, replace(crew, jobs=tasks)) if changed else crew)
    return judged(facts, plan, Plan(tuple(crews)))


def swap_people(facts: DayFacts, plan: Plan, *, one: str, other: str, block: int) -> Changed:
    """Let two people change places in a block: who leads, helps, supervises or stays out."""
    if not {one, other} <= facts.person.keys():
        return [Violation("unknown", (one, other), "Nobody of that name comes to this day.")]
    of = {one: other, other: one}
    crews = [_renamed(facts, crew, of) if crew.block == block else crew for crew in plan.crews]
    return judged(facts, plan, Plan(tuple(crews)))


def _renamed(facts: DayFacts, crew: Crew, of: dict[str, str]) -> Crew:
    if not of.keys() & {*crew.members, crew.supervisor}:
        return crew
    members = tuple(of.get(key, key) for key in crew.members)
    supervisor = of.get(crew.supervisor, crew.supervisor) if crew.supervisor else None
    leader = of.get(crew.leader, crew.leader)
    changed = replace(crew, leader=leader, members=members, supervisor=supervisor)
    return _timed(facts, changed)


def shift_job(facts: DayFacts, plan: Plan, *, job: str, by: int) -> Changed:
    """Do a job one place earlier (-1) or later (1) in its crew's block."""
    crews = []
    for crew in plan.crews:
        order = [task.job for task in crew.jobs]
        if job in order:
            place = order.index(job) + by
            if not 0 <= place < len(order):
                where = "first" if by < 0 else "last"
                return [Violation("order", (job,), f"It is the {where} job of its crew already.")]
            crew = _timed(facts, replace(crew, jobs=_moved(crew.jobs, job, place)))
        crews.append(crew)
    return judged(facts, plan, Plan(tuple(crews)))


def _moved(tasks: tuple[PlannedJob, ...], job: str, place: int) -> tuple[PlannedJob, ...]:
    rest = [task for task in tasks if task.job != job]
    (moved,) = (task for task in tasks if task.job == job)
    return (*rest[:place], moved, *rest[place:])


def part(facts: DayFacts, plan: Plan, *, one: str, other: str) -> Changed:
    """Move one of two people wherever they share a crew: the best way that breaks no rule.

    The facts hold the pair apart already. Gives what the plan breaks where no way is found.
    """
    for block in range(len(facts.blocks)):
        leaders = [crew.leader for crew in plan.crews if crew.block == block]
        if any(crew.block == block and {one, other} <= {*crew.members} for crew in plan.crews):
            ways = [
                found
                for person in (other, one)
                for to in (*leaders, None)
                if isinstance(found := _parted(facts, plan, person, block, to), Plan)
            ]
            plan = max(ways, key=lambda way: value(facts, way).total, default=plan)
    return judged(facts, plan, plan)


def _parted(facts: DayFacts, plan: Plan, person: str, block: int, to: str | None) -> Changed:
    """A move judged for this block only: the pair may still share a crew in another one."""
    here = replace(facts, apart=())
    found = move_person(here, plan, person=person, block=block, to_leader=to)
    if not isinstance(found, Plan):
        return found
    crews = tuple(crew for crew in found.crews if crew.block == block)
    broken = [v for v in violations(facts, Plan(crews)) if v.rule == "apart"]
    return broken or found


def judged(facts: DayFacts, before: Plan, after: Plan) -> Changed:
    """The plan with its supervisors named anew, or what it breaks."""
    named = supervised(facts, after) if violations(facts, after) else after
    found = violations(facts, named)
    return found or named


def _without(facts: DayFacts, crew: Crew, person: str) -> Crew | None:
    if person not in crew.members:
        return crew
    rest = tuple(key for key in crew.members if key != person)
    if not rest:
        return None
    leader = crew.leader if person != crew.leader else _next_leader(facts, crew, rest)
    members = (leader, *(key for key in rest if key != leader))
    supervisor = leader if crew.supervisor == person else crew.supervisor
    return _timed(facts, replace(crew, leader=leader, members=members, supervisor=supervisor))


def _next_leader(facts: DayFacts, crew: Crew, rest: tuple[str, ...]) -> str:
    """The first who may lead all of the crew's jobs, else the first member."""
    for key in rest:
        person = facts.person[key]
        kinds = [facts.kind_of(task.job) for task in crew.jobs]
        able = all(person.level(kind.skill) >= kind.leader_level for kind in kinds)
        if person.leads and person.adult and able:
            return key
    return rest[0]


def _with(
    facts: DayFacts, crews: list[Crew], person: str, block: int, to_leader: str
) -> list[Crew]:
    if to_leader == person:
        return [*crews, Crew(block, person, (person,))]
    return [
        _timed(facts, replace(crew, members=(*crew.members, person)))
        if crew.block == block and crew.leader == to_leader
        else crew
        for crew in crews
    ] + ([] if _led(crews, block, to_leader) else [Crew(block, to_leader, (to_leader, person))])


def _led(crews: list[Crew], block: int, leader: str) -> bool:
    return any(crew.block == block and crew.leader == leader for crew in crews)


def _timed(facts: DayFacts, crew: Crew) -> Crew:
    """The crew with the times that follow from its people."""
    return replace(crew, jobs=timed(facts, crew.block, crew.members, crew.jobs))


def supervised(facts: DayFacts, plan: Plan) -> Plan:
    """Name a supervisor for each crew that needs one: its leader, else one who is near."""
    crews = []
    for crew in plan.crews:
        needs = [t for t in crew.jobs if facts.kind_of(t.job).needs_supervisor]
        names = _supervisors(facts, plan, crew, needs) if needs else []
        kept = crew.supervisor if crew.supervisor in names else None
        crews.append(replace(crew, supervisor=kept or (names[0] if names else None)))
    return Plan(tuple(crews))


def _supervisors(facts: DayFacts, plan: Plan, crew: Crew, needs: list[PlannedJob]) -> list[str]:
    """Leaders of the block who could supervise a crew, its own leader first."""
    skills = {facts.kind_of(task.job).skill for task in needs}
    sections = {facts.job[task.job].section for task in needs}
    others = [c for c in plan.crews if c.block == crew.block]
    near = [c for c in others if sections <= {facts.job[t.job].section for t in c.jobs}]
    names = [crew.leader, *(c.leader for c in near if c.leader != crew.leader)]
    return [key for key in names if _masters(facts.person[key], skills)]


def _masters(person: PersonFacts, skills: set[str]) -> bool:
    return all(person.level(skill) >= SUPERVISOR for skill in skills)
