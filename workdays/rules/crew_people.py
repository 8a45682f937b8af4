"""Hard rules about people: who may be in which crew, with whom, and under whom."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from workdays.rules.counting import heads, joined
from workdays.rules.facts import (
    SIGNED_OFF,
    Crew,
    DayFacts,
    PersonFacts,
    Plan,
    Violation,
)


def of_person(facts: DayFacts, crew: Crew, person: PersonFacts) -> Iterator[Violation]:
    """Rules about one member that need no look at the jobs."""
    block = facts.blocks[crew.block]
    if not person.waiver:
        yield Violation("waiver", (person.id,), f"{person.label} has no valid waiver.")
    elif person.slots_in(block) == 0:
        sentence = f"{person.label} is not there in the {block.name}."
        yield Violation("presence", (person.id,), sentence)
    if not person.adult:
        yield from _of_minor(facts, crew, person)


def _of_minor(facts: DayFacts, crew: Crew, minor: PersonFacts) -> Iterator[Violation]:
    guardian = facts.person.get(minor.guardian or "")
    if guardian is None:
        sentence = f"{minor.label} is a minor and no guardian comes along."
        yield Violation("guardian", (minor.id,), sentence)
    elif guardian.id not in crew.members:
        sentence = (
            f"{minor.label} is a minor and not in the crew of {guardian.label}, the guardian."
        )
        yield Violation("guardian", (minor.id, guardian.id), sentence)


def of_crew(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    """Rules about the crew as a whole: leader, size, languages, minors who follow, pairs."""
    yield from _size(facts, crew)
    yield from _leader(facts, crew)
    yield from _languages(facts, crew)
    yield from _followers(facts, crew)
    for one, other in facts.apart:
        if one in crew.members and other in crew.members:
            names = f"{facts.person[one].label} and {facts.person[other].label}"
            yield Violation("apart", (one, other), f"{names} are to be kept apart.")


def _size(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    size, ratios = len(crew.members), facts.ratios
    leader = facts.person[crew.leader].label
    if size < ratios.min_crew:
        sentence = f"The crew of {leader} has {size}; a crew has at least {ratios.min_crew}."
        yield Violation("crew size", (crew.leader,), sentence)
    if size > ratios.max_crew:
        sentence = f"The crew of {leader} has {size}; a crew has at most {ratios.max_crew}."
        yield Violation("crew size", (crew.leader,), sentence)


def _leader(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    leader = facts.person[crew.leader]
    if crew.leader not in crew.members:
        sentence = f"{leader.label} leads a crew without being in it."
        yield Violation("leader", (leader.id,), sentence)
    if not leader.leads:
        yield Violation("leader", (leader.id,), f"{leader.label} may not lead a crew.")
    if not leader.adult:
        sentence = f"{leader.label} is a minor; an adult leads a crew."
        yield Violation("leader", (leader.id,), sentence)


def _languages(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    leader = facts.person[crew.leader]
    for member in (facts.person[key] for key in crew.members):
        if leader.langs and member.langs and not set(leader.langs) & set(member.langs):
            sentence = f"{member.label} shares no language with {leader.label}, who leads."
            yield Violation("language", (member.id, leader.id), sentence)


def _followers(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    if not facts.ratios.minors_follow:
        return
    for minor in facts.people:
        left = not minor.adult and minor.guardian in crew.members and minor.id not in crew.members
        if left and minor.slots_in(facts.blocks[crew.block]):
            guardian = facts.person[minor.guardian or ""]
            sentence = f"{guardian.label} works while {minor.label}, a minor, is left without."
            yield Violation("minors follow", (guardian.id, minor.id), sentence)


def of_day(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Rules about people over the whole day: one crew in a block, and what is pinned."""
    yield from _one_crew(facts, plan)
    yield from _pinned(facts, plan)
    yield from _locked(facts, plan)


def _one_crew(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    times = Counter((crew.block, key) for crew in plan.crews for key in crew.members)
    for (block, key), count in times.items():
        if count > 1:
            where = facts.blocks[block].name
            sentence = f"{facts.person[key].label} is placed {count} times in the {where}."
            yield Violation("one crew", (key,), sentence)


def _pinned(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    where = {(crew.block, key): crew.leader for crew in plan.crews for key in crew.members}
    for pin in facts.pins:
        if where.get((pin.block, pin.person)) != pin.leader:
            name = facts.person[pin.person].label
            crew = f"in the crew of {facts.person[pin.leader].label}" if pin.leader else "left out"
            sentence = f"{name} is pinned: {crew} in the {facts.blocks[pin.block].name}."
            yield Violation("pin", (pin.person,), sentence)
    done = {(task.job, crew.block, crew.leader) for crew in plan.crews for task in crew.jobs}
    for job_pin in facts.job_pins:
        if (job_pin.job, job_pin.block, job_pin.leader) not in done:
            crew = f"with the crew of {facts.person[job_pin.leader].label}"
            where_to = f"{crew} in the {facts.blocks[job_pin.block].name}"
            sentence = f"{facts.job[job_pin.job].label} is pinned: {where_to}."
            yield Violation("pin", (job_pin.job,), sentence)


def _locked(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    people = {(pin.block, pin.leader, pin.person) for pin in facts.pins}
    jobs = {(pin.block, pin.leader, pin.job) for pin in facts.job_pins}
    for crew in plan.crews:
        if (crew.block, crew.leader) not in facts.locked:
            continue
        more = [key for key in crew.members if (crew.block, crew.leader, key) not in people]
        work = [t.job for t in crew.jobs if (crew.block, crew.leader, t.job) not in jobs]
        names = [
            *(facts.person[key].label for key in more),
            *(facts.job[key].label for key in work),
        ]
        if names:
            leader, where = facts.person[crew.leader].label, facts.blocks[crew.block].name
            sentence = (
                f"The crew of {leader} is locked in the {where}: {joined(names)} cannot join."
            )
            yield Violation("locked", (crew.leader, *more, *work), sentence)


def supervision(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Rules about supervisors: level, nearness, and how many crews and trainees each has."""
    under: dict[tuple[int, str], list[Crew]] = defaultdict(list)
    for crew in plan.crews:
        skills = supervised_skills(facts, crew)
        if bool(skills) != (crew.supervisor is not None):
            leader = facts.person[crew.leader].label
            how = "without a supervisor" if skills else "needlessly under a supervisor"
            yield Violation("supervisor", (crew.leader,), f"The crew of {leader} works {how}.")
        if not skills or crew.supervisor is None:
            continue
        under[crew.block, crew.supervisor].append(crew)
        yield from _supervisor_of(facts, plan, crew, skills)
    for (_, key), crews in under.items():
        yield from _load(facts, facts.person[key], crews)


def supervised_skills(facts: DayFacts, crew: Crew) -> set[str]:
    """The skills of the crew's work that need a supervisor."""
    kinds = (facts.kind_of(task.job) for task in crew.jobs)
    return {kind.skill for kind in kinds if kind.needs_supervisor}


def _supervisor_of(
    facts: DayFacts, plan: Plan, crew: Crew, skills: set[str]
) -> Iterator[Violation]:
    supervisor = facts.person[crew.supervisor or ""]
    about = (supervisor.id, crew.leader)
    for skill in sorted(skills):
        if supervisor.level(skill) < SIGNED_OFF + 1:
            sentence = f"{supervisor.label} is no supervisor of {skill}."
            yield Violation("supervisor", about, sentence)
    if supervisor.id == crew.leader:
        return
    own = [c for c in plan.crews if c.block == crew.block and c.leader == supervisor.id]
    if not own:
        sentence = f"{supervisor.label} supervises without leading a crew in that block."
        yield Violation("supervisor", about, sentence)
    yield from _near(facts, crew, own, supervisor)


def _near(
    facts: DayFacts, crew: Crew, own: list[Crew], supervisor: PersonFacts
) -> Iterator[Violation]:
    sections = {facts.job[task.job].section for c in own for task in c.jobs}
    for task in crew.jobs:
        if not facts.kind_of(task.job).needs_supervisor:
            continue
        label, about = facts.job[task.job].label, (supervisor.id, task.job)
        if facts.job[task.job].section not in sections:
            sentence = f"{supervisor.label} has no work in the section of {label}."
            yield Violation("supervisor", about, sentence)
        if task.start < supervisor.arrive or task.end > supervisor.leave:
            sentence = f"{supervisor.label} is not there during all of {label}."
            yield Violation("supervisor", about, sentence)


def _load(facts: DayFacts, supervisor: PersonFacts, crews: list[Crew]) -> Iterator[Violation]:
    ratios = facts.ratios
    if len(crews) > ratios.crews_per_supervisor:
        sentence = f"{supervisor.label} supervises {len(crews)} crews at once, more than allowed."
        yield Violation("crews per supervisor", (supervisor.id,), sentence)
    trainees = sum(len(_trainees(facts, crew)) for crew in crews)
    if trainees > ratios.trainees_per_supervisor:
        sentence = f"{supervisor.label} supervises {trainees} trainees at once, more than allowed."
        yield Violation("trainees per supervisor", (supervisor.id,), sentence)


def _trainees(facts: DayFacts, crew: Crew) -> set[str]:
    skills = supervised_skills(facts, crew)
    below = (
        key
        for key in crew.members
        if any(facts.person[key].level(skill) < SIGNED_OFF for skill in skills)
    )
    return set(below)


def replanned(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Rules of a plan made after another was published: few people move."""
    if facts.before is None or facts.max_moved is None:
        return
    leaders = {(c.block, key): c.leader for c in plan.crews for key in c.members}
    moved = {
        key
        for crew in facts.before.crews
        for key in crew.members
        if still_there(facts, key, crew.block) and still_there(facts, crew.leader, crew.block)
        if leaders.get((crew.block, key)) != crew.leader
    }
    if len(moved) > facts.max_moved:
        sentence = f"It moves {heads(len(moved))}; at most {facts.max_moved} may be moved."
        yield Violation("most moved", tuple(sorted(moved)), sentence)


def still_there(facts: DayFacts, key: str, block: int) -> bool:
    """Whether somebody of an older plan is present in a block today, in what is left of it."""
    person = facts.person.get(key)
    if person is None or not person.waiver or block >= len(facts.blocks):
        return False
    stretch = facts.blocks[block]
    begun = facts.now is not None and stretch.start < facts.now < stretch.end
    start = facts.now if begun and facts.now is not None else stretch.start
    return max(start, person.arrive) < min(stretch.end, person.leave)


def led_once(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """A crew is known by its leader, who has one crew in a block."""
    times = Counter((crew.block, crew.leader) for crew in plan.crews)
    for (block, key), count in times.items():
        if count > 1:
            where = facts.blocks[block].name
            sentence = f"{facts.person[key].label} leads {count} crews in the {where}."
            yield Violation("one crew", (key,), sentence)
