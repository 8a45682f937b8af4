"""Small worlds to look ahead in: nothing lost, nothing random, unless a test says so."""

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from workdays.rules.ahead_facts import AheadFacts, Lost, Undone, Usual
from workdays.rules.ahead_tables import Tables
from workdays.rules.ahead_work import WorkedDay, Yard
from workdays.rules.facts import (
    Crew,
    DayFacts,
    Interval,
    JobFacts,
    KindFacts,
    PersonFacts,
    Plan,
    PlannedJob,
    Ratios,
)

SATURDAY = date(2026, 5, 9)
RAKE = KindFacts("rake", "rake", "Raking")
CLEAN = KindFacts("clean", "clean", "Gentle cleaning", leader_level=2, new_per_competent=2)
RESET = KindFacts(
    *("reset", "reset", "Resetting"),
    leader_level=2,
    needs_supervisor=True,
    adults_only=True,
    lifts=True,
)
NEVER_LOST = dict.fromkeys(range(1, 13), Lost(0, 10**9))
SURE = 10**9


def somebody(key: str, share: float | None = None, **changes: Any) -> Usual:
    """Somebody who may lead raking, comes each time, or surely to a share of the days."""
    person = replace(PersonFacts(key, 0, 24, leads=True), **changes)
    if share is None:
        return Usual(person, always=True)
    return Usual(person, came=round(share * SURE), days=SURE)


def job(key: str, kind: str = "rake", **changes: Any) -> JobFacts:
    """An hour of work for one or two at a stone of its own."""
    return replace(JobFacts(key, kind, "S1", 60, 10, 1, 2, stone=key), **changes)


def weeks(count: int, begins: date = SATURDAY) -> tuple[date, ...]:
    """So many Saturdays."""
    return tuple(begins + timedelta(days=7 * n) for n in range(count))


def world(jobs: Iterable[JobFacts | Undone], *people: Usual, **changes: Any) -> AheadFacts:
    """Two hours each Saturday, no day lost, each job as long as its estimate."""
    usual = AheadFacts(
        dates=weeks(60),
        blocks=(8,),
        undone=tuple(one if isinstance(one, Undone) else Undone(one) for one in jobs),
        people=people,
        kinds=(RAKE, CLEAN, RESET),
        ratios=Ratios(),
        lost=NEVER_LOST,
        pace=(1.0,) * 8,
    )
    return replace(usual, **changes)


def whole_day(facts: DayFacts) -> DayFacts:
    """The day as a look ahead sees it: who comes stays, and no hour is barred."""
    end = max(block.end for block in facts.blocks)
    people = tuple(replace(one, arrive=0, leave=end) for one in facts.people)
    spans = tuple(Interval(block.start, block.end) for block in facts.blocks)
    jobs = tuple(replace(one, windows=spans) for one in facts.jobs)
    return replace(facts, people=people, jobs=jobs)


def ahead_of(facts: DayFacts) -> AheadFacts:
    """One day of a look ahead with the facts of a plan."""
    return AheadFacts(
        dates=(SATURDAY,),
        blocks=tuple(block.end - block.start for block in facts.blocks),
        undone=tuple(Undone(one) for one in facts.jobs),
        people=tuple(Usual(one, always=True) for one in facts.people),
        kinds=facts.kinds,
        ratios=facts.ratios,
        kit=facts.kit,
    )


def plan_of(facts: DayFacts, tables: Tables, yard: Yard, worked: WorkedDay) -> Plan:
    """What the crews of a looked-ahead day did, as a plan that can be judged."""
    crews = []
    for number, shifts in enumerate(worked.shifts):
        before = sum(tables.facts.blocks[:number])
        start = facts.blocks[number].start - before
        for team, done in shifts:
            tasks = [
                PlannedJob(tables.jobs[n].job.id, begin + start, end + start)
                for n, begin, end in done
            ]
            supervised = any(facts.kind_of(task.job).needs_supervisor for task in tasks)
            boss = team.under.leader.id if team.under and supervised else None
            members = tuple(one.id for one in team.members)
            if tasks:
                crews.append(Crew(number, team.leader.id, members, tuple(tasks), boss))
    return Plan(tuple(crews))
