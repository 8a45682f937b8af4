"""The judge of plans: every hard rule by name, and the value term by term.

Shares no code with any search. A plan is saved, published or handed out only if `violations`
is empty. The rules are those of the project's own statement of the problem (DEVELOPERS.md,
"The crew plan"): levels, ratios and who may lift are common practice, no source, and give way
to local law, the owner's rules and licensed professionals.
"""

from collections.abc import Iterator

from workdays.rules import begun, crew_people, crew_work
from workdays.rules.crew_points import value
from workdays.rules.facts import Crew, DayFacts, Plan, Violation

__all__ = ["value", "violations"]


def violations(facts: DayFacts, plan: Plan) -> list[Violation]:
    """Return every hard rule that the plan breaks, in a fixed order; empty: the plan holds.

    A plan that names people, jobs or blocks which the day does not have is judged for that only.
    """
    vain = list(unknown(facts, plan))
    return vain or list(_all_rules(facts, plan))


def _all_rules(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    for crew in plan.crews:
        for key in crew.members:
            yield from crew_people.of_person(facts, crew, facts.person[key])
        yield from crew_people.of_crew(facts, crew)
        yield from crew_work.of_crew(facts, crew)
    yield from crew_people.of_day(facts, plan)
    yield from crew_people.led_once(facts, plan)
    yield from crew_people.supervision(facts, plan)
    yield from crew_people.replanned(facts, plan)
    yield from crew_work.of_day(facts, plan)
    yield from begun.kept(facts, plan)


def unknown(facts: DayFacts, plan: Plan) -> Iterator[Violation]:
    """Give whoever and whatever a plan names that the day does not have."""
    for crew in plan.crews:
        if not 0 <= crew.block < len(facts.blocks):
            number = str(crew.block)
            yield Violation("unknown", (number,), f"The day has no block {number}.")
        yield from _unknown_names(facts, crew)


def _unknown_names(facts: DayFacts, crew: Crew) -> Iterator[Violation]:
    people = [crew.leader, *crew.members, *([crew.supervisor] if crew.supervisor else [])]
    for key in dict.fromkeys(people):
        if key not in facts.person:
            yield Violation("unknown", (key,), f"Nobody called {key} comes to this day.")
    for task in crew.jobs:
        if task.job not in facts.job:
            yield Violation("unknown", (task.job,), f"The day has no job called {task.job}.")
