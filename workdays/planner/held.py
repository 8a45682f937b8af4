"""What hands hold in place on a plan: people, jobs, whole crews, and pairs kept apart."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from workdays.rules.crew_people import still_there
from workdays.rules.facts import DayFacts, JobFacts, JobPin, PersonPin, Plan

OFF = "Kept out of the plan by hand."


@dataclass(frozen=True, slots=True)
class Held:
    """Pins of people and jobs, locked crews by block and leader, pairs kept apart, jobs kept out.

    A locked crew has the people and the jobs that it has, and nobody and nothing else.
    """

    people: frozenset[PersonPin] = frozenset()
    jobs: frozenset[JobPin] = frozenset()
    crews: frozenset[tuple[int, str]] = frozenset()
    apart: frozenset[tuple[str, str]] = frozenset()
    off: frozenset[str] = frozenset()


def pair_of(one: str, other: str) -> tuple[str, str]:
    """Two people as a pair that is kept apart: the same whoever is named first."""
    return min(one, other), max(one, other)


def held_on(facts: DayFacts, plan: Plan, held: Held) -> DayFacts:
    """Return the facts with what is held on a plan, in a fixed order.

    Who does not come any more and a job that left the day hold nothing; where the rest of a day
    is planned, neither do pins of who is not there in what is left of a stretch.
    """
    known = facts.person.keys()
    plan, held = _there(facts, plan, held)
    pins = {*held.people, *(pin for pin in _locked_people(plan, held))}
    jobs = {*held.jobs, *(pin for pin in _locked_jobs(plan, held))}
    return replace(
        facts,
        pins=tuple(
            sorted(
                (pin for pin in pins if {pin.person, pin.leader or pin.person} <= known),
                key=lambda pin: (pin.block, pin.person, pin.leader or ""),
            )
        ),
        job_pins=tuple(
            sorted(
                (pin for pin in jobs if pin.leader in known and pin.job in facts.job),
                key=lambda pin: (pin.block, pin.job, pin.leader),
            )
        ),
        apart=tuple(sorted(pair for pair in held.apart if set(pair) <= known)),
        locked=tuple(sorted(held.crews)),
        jobs=tuple(_kept_out(job, held) for job in facts.jobs),
    )


def _kept_out(job: JobFacts, held: Held) -> JobFacts:
    """The job, blocked where it is kept out; the facts may say so already, of an older plan."""
    other = job.blocked.removeprefix(OFF).strip()
    blocked = f"{OFF} {other}".strip() if job.id in held.off else other
    return job if blocked == job.blocked else replace(job, blocked=blocked)


def _there(facts: DayFacts, plan: Plan, held: Held) -> tuple[Plan, Held]:
    """Leave out what is held of people who are not there from now on, and crews without a lead."""
    if facts.now is None:
        return plan, held

    def here(key: str | None, block: int) -> bool:
        return key is None or still_there(facts, key, block)

    crews = [
        replace(crew, members=tuple(key for key in crew.members if here(key, crew.block)))
        for crew in plan.crews
        if here(crew.leader, crew.block)
    ]
    people = (pin for pin in held.people if here(pin.person, pin.block))
    return Plan(tuple(crews)), replace(
        held,
        people=frozenset(pin for pin in people if here(pin.leader, pin.block)),
        jobs=frozenset(pin for pin in held.jobs if here(pin.leader, pin.block)),
        crews=frozenset((block, leader) for block, leader in held.crews if here(leader, block)),
    )


def _locked_people(plan: Plan, held: Held) -> Iterator[PersonPin]:
    for crew in plan.crews:
        if (crew.block, crew.leader) in held.crews:
            yield from (PersonPin(key, crew.block, crew.leader) for key in crew.members)


def _locked_jobs(plan: Plan, held: Held) -> Iterator[JobPin]:
    for crew in plan.crews:
        if (crew.block, crew.leader) in held.crews:
            yield from (JobPin(task.job, crew.block, crew.leader) for task in crew.jobs)
