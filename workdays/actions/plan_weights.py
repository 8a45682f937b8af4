"""Set what a good plan of one day is worth."""

from collections.abc import Mapping

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from workdays.actions.plans import refuse_shut
from workdays.models import Workday
from workdays.queries.locking import locked_day
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of, shown_plan
from workdays.rules.crew import value, violations
from workdays.rules.plan_weights import set_for_the_day


@transaction.atomic
def set_weights(day: Workday, points: Mapping[str, int], *, by: Person) -> bool:
    """Set the points of each aim for a day; return whether any is another one now.

    The plan that is shown is judged anew. Its bound held for the old points, and goes.
    """
    row = locked_day(day.pk)
    refuse_shut(row)
    before, after = row.plan_weights, set_for_the_day(points)
    if before == after:
        return False
    row.plan_weights = after
    row.save(update_fields=["plan_weights"])
    audit.record(audit.by_login(by), "set the points", row, {"from": before, "to": after})
    _judge_anew(row)
    return True


def _judge_anew(day: Workday) -> None:
    """Give the plan that is shown its new worth, unless the day has left it behind."""
    shown = shown_plan(day)
    if shown is None:
        return
    facts, plan = planning_facts(day), plan_of(shown)
    if violations(facts, plan):
        return
    worth = value(facts, plan)
    shown.value, shown.bound, shown.proved = worth.total, None, False
    shown.terms = {name: getattr(worth, name) for name in worth.__slots__}
    shown.save(update_fields=["value", "terms", "bound", "proved", "changed_at"])
