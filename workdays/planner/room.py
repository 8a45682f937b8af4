"""What a crew could be made of, on an open day or beside a plan's crews, and who may do what."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

from workdays.rules.crew import value
from workdays.rules.facts import (
    SIGNED_OFF,
    SUPERVISOR,
    Crew,
    DayFacts,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
)


@dataclass(frozen=True)
class Room:
    """What a crew could be made of: per block the people, the equipment, the supervision.

    `plan`: crews that stand and may supervise. `open`: whether more than one crew may be made.
    """

    people: tuple[tuple[PersonFacts, ...], ...]
    kit: tuple[Mapping[str, int], ...]
    plan: Plan = field(default_factory=Plan)
    open: bool = True


class Scene:
    """A day and a plan of it, with what could still be made of both, each worked out once."""

    def __init__(self, facts: DayFacts, plan: Plan) -> None:
        self.facts, self.plan = facts, plan
        self.done = {task.job for crew in plan.crews for task in crew.jobs}
        self.worth = value(facts, plan).total

    @cached_property
    def day(self) -> Room:
        """The open day."""
        return whole_day(self.facts)

    @cached_property
    def left(self) -> Room:
        """What the plan leaves."""
        return what_is_left(self.facts, self.plan)


def whole_day(facts: DayFacts) -> Room:
    """Everybody who is there, and all equipment."""
    people = tuple(tuple(p for p in facts.people if p.slots_in(b)) for b in facts.blocks)
    return Room(people, tuple(facts.kit for _ in facts.blocks))


def what_is_left(facts: DayFacts, plan: Plan) -> Room:
    """Who is in no crew in each block, and the equipment that no crew holds."""
    people, kit = [], []
    for b, block in enumerate(facts.blocks):
        crews = [crew for crew in plan.crews if crew.block == b]
        busy = {key for crew in crews for key in crew.members}
        people.append(tuple(p for p in facts.people if p.slots_in(block) and p.id not in busy))
        held = [held_by(facts, crew) for crew in crews]
        kit.append({key: n - sum(h.get(key, 0) for h in held) for key, n in facts.kit.items()})
    return Room(tuple(people), tuple(kit), plan, open=False)


def held_by(facts: DayFacts, crew: Crew) -> dict[str, int]:
    """The equipment that a crew holds: the most that one of its jobs needs."""
    most: dict[str, int] = {}
    for task in crew.jobs:
        for key, count in facts.job[task.job].kit.items():
            most[key] = max(most.get(key, 0), count)
    return most


def may_help(person: PersonFacts, job: JobFacts, kind: KindFacts) -> bool:
    """Whether a person may be in a crew that does a job, as far as it lies in the person."""
    heavy = kind.lifts or job.lifters > 0
    if kind.id in person.barred or person.level(kind.skill) < kind.helper_level:
        return False
    if person.light and heavy:
        return False
    return person.adult or not (heavy or kind.adults_only)


def may_lead(person: PersonFacts, job: JobFacts, kind: KindFacts) -> bool:
    """Whether a person may lead a job, as far as it lies in the person."""
    able = person.leads and person.adult and person.level(kind.skill) >= kind.leader_level
    fits = person.conservator or not kind.needs_conservator
    return able and fits and may_help(person, job, kind)


def speak(one: PersonFacts, other: PersonFacts) -> bool:
    """Whether two people share a language; who names none speaks any."""
    return not one.langs or not other.langs or bool(set(one.langs) & set(other.langs))


def there(person: PersonFacts, start: int, end: int) -> bool:
    """Whether somebody with a waiver is there from start to end."""
    return person.waiver and person.arrive <= start and end <= person.leave


def is_master(person: PersonFacts, kind: KindFacts) -> bool:
    """Whether a person could supervise a kind of work, as far as it lies in the person."""
    return (
        person.waiver and person.leads and person.adult and person.level(kind.skill) >= SUPERVISOR
    )


def learners(facts: DayFacts, crew: Crew) -> set[str]:
    """The people of a crew who are below signed off in work of theirs that is supervised."""
    kinds = [facts.kind_of(task.job) for task in crew.jobs]
    skills = {kind.skill for kind in kinds if kind.needs_supervisor}
    return {
        key for key in crew.members if any(facts.person[key].level(s) < SIGNED_OFF for s in skills)
    }
