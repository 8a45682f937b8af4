"""What would change a plan, worked out for a request: what each change brings, in sentences."""

from collections.abc import Callable

from workdays.broken import Broken
from workdays.models import CrewPlan, PlanRun
from workdays.planner.what_if import better, changes, gain_of
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of
from workdays.rules.counting import some
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan

# As many tries with each change as without one; 14 changes at 25 people and 60 jobs take 5 seconds.
ROUNDS = 20_000
GONE = "The plan was replaced before this was worked out; ask again for the plan that is shown."
CHANGED = "The day has changed since this plan was made: plan the rest again, then ask."


def gains_of(plan_run: PlanRun, *, tell: Callable[..., object]) -> list[str]:
    """Return what each change of the day would bring to the plan asked about, the most first.

    `tell` is called with the steps there are and the steps done. Raises Broken, in a sentence,
    where the plan was replaced meanwhile or no longer holds.
    """
    row = plan_run.plan
    if row is None or row.state == CrewPlan.State.OLD:
        raise Broken([GONE])
    facts, plan = planning_facts(plan_run.day), plan_of(row)
    if violations(facts, plan):
        raise Broken([CHANGED])
    todo = list(changes(facts))
    tell(steps=len(todo), steps_done=0)
    longer = better(facts, plan, ROUNDS, plan_run.seed)
    found = []
    for step, change in enumerate(todo, start=1):
        gain = gain_of(change, facts, longer, rounds=ROUNDS, seed=plan_run.seed)
        found += [gain] if gain else []
        tell(steps_done=step)
    found.sort(key=lambda gain: (-gain.points, gain.words))
    return _without_change(facts, plan, longer) + [gain.sentence for gain in found]


def _without_change(facts: DayFacts, plan: Plan, longer: Plan) -> list[str]:
    more = value(facts, longer).total - value(facts, plan).total
    if more <= 0:
        return []
    return [f"Without any change, planning the rest again: at least {some(more, 'more point')}."]
