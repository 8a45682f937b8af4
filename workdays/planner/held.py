"""What hands hold in place on a plan: people, jobs, whole crews, and pairs kept apart."""

from collections.abc import Iterator
from dataclasses import dataclass, replace

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


def held_on(facts: DayFacts, plan: Plan, held: Held) -> DayFacts:
    """Return the facts with what is held on a plan, in a fixed order.

    Who does not come any more and a job that left the day hold nothing.
    """
    known = facts.person.keys()
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


def _locked_people(plan: Plan, held: Held) -> Iterator[PersonPin]:
    for crew in plan.crews:
        if (crew.block, crew.leader) in held.crews:
            yield from (PersonPin(key, crew.block, crew.leader) for key in crew.members)


def _locked_jobs(plan: Plan, held: Held) -> Iterator[JobPin]:
    for crew in plan.crews:
        if (crew.block, crew.leader) in held.crews:
            yield from (JobPin(task.job, crew.block, crew.leader) for task in crew.jobs)
