"""The last door: a plan leaves the planner only if the independent checker finds nothing."""

from workdays.rules.crew import violations
from workdays.rules.facts import Crew, DayFacts, Plan, Violation

# What was asked for and may be more than any plan can hold; leaving crews out would not help.
ASKED = ("pin", "begun", "most moved")


def sound(facts: DayFacts, plan: Plan) -> tuple[Plan, list[Violation]]:
    """Return a plan that breaks no rule, and what is still asked for that it cannot hold.

    Crews that the checker objects to are left out until nothing but such wishes remains.
    """
    found = violations(facts, plan)
    while hard := [v for v in found if v.rule not in ASKED]:
        kept = tuple(crew for crew in plan.crews if not _concerns(crew, hard))
        if len(kept) == len(plan.crews):
            kept = kept[:-1]
        if not plan.crews:
            return plan, found
        plan = Plan(kept)
        found = violations(facts, plan)
    return plan, found


def _concerns(crew: Crew, found: list[Violation]) -> bool:
    named = {crew.leader, *crew.members, *(task.job for task in crew.jobs)}
    return any(named & set(violation.about) for violation in found)
