"""Leave a request to plan a day as a killed worker does, and one whose bell was lost.

With "wait" as its word waits until both plans are made; without a word makes the requests. Prints
the states of both.
"""

import json
import sys
from datetime import timedelta

import django

django.setup()

from django.utils import timezone  # noqa: E402

from coordinator.tasks import sweep  # noqa: E402
from tests import factories  # noqa: E402
from tests.waiting import eventually  # noqa: E402
from workdays.models import PlanRun  # noqa: E402


def leave() -> None:
    """Make two days with a request each, neither of which anybody is at."""
    long_ago = timezone.now() - timedelta(minutes=11)
    section = factories.make_section()
    for state in (PlanRun.State.RUNNING, PlanRun.State.ASKED):
        run = PlanRun.objects.create(day=factories.make_day(section.cemetery), state=state)
        PlanRun.objects.filter(pk=run.pk).update(asked_at=long_ago, started_at=long_ago)
    sweep.apply_async()


def states() -> list[str]:
    """Return the state of each request."""
    return list(PlanRun.objects.order_by("pk").values_list("state", flat=True))


if sys.argv[1:] == ["wait"]:
    eventually(lambda: {*states()} == {PlanRun.State.DONE}, timeout=120, what="both plans made")
else:
    leave()
sys.stdout.write(json.dumps(states()))
