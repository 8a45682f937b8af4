"""Requests to plan as they stand while a worker is at them."""

from typing import Any

from tests import factories
from workdays.models import PlanRun, Workday
from workdays.planner.solve import Limit, solve
from workdays.planner.writing import plan_to_json
from workdays.queries.planning import planning_facts


def at_work(day: Workday, **overrides: Any) -> PlanRun:
    """Make a request that a worker began a minute ago, with the plan that it has found."""
    found = solve(planning_facts(day), limit=Limit(rounds=50, proof=0))
    values: dict[str, Any] = {
        "state": PlanRun.State.RUNNING,
        "started_at": factories.NOW,
        "seen_at": factories.NOW,
        "value": found.value.total,
        "bound": found.value.total + 40,
        "tries": 50,
        "found": plan_to_json(found.plan),
    }
    return PlanRun.objects.create(day=day, **(values | overrides))
