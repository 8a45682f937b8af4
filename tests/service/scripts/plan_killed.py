"""A long request to plan, seen from beside the worker that is at it.

"ask" makes the day and asks; "wait" waits until a plan is found; "keep" keeps it, as a press does.
Prints the state of the request, the points found, and how many plans the day has.
"""

import json
import sys

import django

django.setup()

from django.utils import timezone  # noqa: E402

from tests import factories  # noqa: E402
from tests.example_day import example_day  # noqa: E402
from tests.waiting import eventually  # noqa: E402
from workdays.actions.plan_runs import keep_found  # noqa: E402
from workdays.actions.plans import ask_for_plan  # noqa: E402
from workdays.models import CrewPlan, PlanRun  # noqa: E402

ACT = sys.argv[1]


def found() -> bool:
    """Return whether the worker has found a plan."""
    return bool(PlanRun.objects.get().found)


if ACT == "ask":
    day, ruth = example_day("25x60s1"), factories.make_staff()
    ask_for_plan(day, by=ruth, effort=PlanRun.Effort.LONG)
elif ACT == "wait":
    eventually(found, timeout=120, what="a first plan")
else:
    run = PlanRun.objects.get()
    ruth = run.asked_by or factories.make_staff()
    keep_found(run.day, run=run.pk, by=ruth, now=timezone.now())
run = PlanRun.objects.get()
values = [*CrewPlan.objects.values_list("value", flat=True)]
sys.stdout.write(json.dumps([run.state, run.value, values]))
