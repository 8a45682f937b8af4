"""What is left of a plan from a quarter hour of its day on."""

from dataclasses import dataclass, replace
from datetime import datetime

from workdays.rules.counting import heads
from workdays.rules.facts import DayFacts, Plan, Violation


@dataclass(frozen=True, slots=True)
class Rest:
    """How much of a day is planned: from ``since`` on (None: all of it).

    ``max_moved``: most people who may be moved; None: any number.
    """

    since: datetime | None
    max_moved: int | None = None


WHOLE_DAY = Rest(None)


def rest_of(plan: Plan, now: int) -> Plan:
    """Return a plan without the jobs that have ended by then; a crew may be left without any."""
    return Plan(
        tuple(
            replace(crew, jobs=tuple(task for task in crew.jobs if task.end > now))
            for crew in plan.crews
        )
    )


def at_work(plan: Plan) -> Plan:
    """Return the crews of a plan that have a job; whoever has none is free for any crew."""
    return Plan(tuple(crew for crew in plan.crews if crew.jobs))


def without_the_past(facts: DayFacts, plan: Plan) -> Plan:
    """Return the crews of a plan whose stretch of the day is not over where the facts begin."""
    now = facts.now
    if now is None:
        return plan
    return Plan(
        tuple(
            crew
            for crew in plan.crews
            if crew.block < len(facts.blocks) and facts.blocks[crew.block].end > now
        )
    )


def binding(facts: DayFacts, broken: list[Violation]) -> list[str]:
    """Return which limit no plan could keep, and what to allow, in sentences."""
    return [_binding(facts, found) for found in broken]


def _binding(facts: DayFacts, found: Violation) -> str:
    if found.rule == "most moved":
        fewest = len(found.about)
        return (
            f"Every plan found moves more than {heads(facts.max_moved or 0)}: the closest moves "
            f"{fewest}. Let {heads(fewest)} move, or note first who is still coming."
        )
    if found.rule == "begun":
        labels = " and ".join(facts.job[key].label for key in found.about)
        return (
            f"{labels}: this work has begun, and no plan found lets its crew finish it. Take it "
            "off the day, or let more people move."
        )
    return found.sentence
