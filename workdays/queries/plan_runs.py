"""Requests to plan a day that wait for somebody: never picked up, or left by a worker that died."""

from datetime import datetime, timedelta

from django.db.models import Q, QuerySet

from workdays.models import PlanRun
from workdays.planner.dayfile import plan_from_row
from workdays.planner.rows import NotADayError, Row
from workdays.rules.facts import Plan

# As long as the task may last (its time limit): whoever began earlier is not at it any more.
CLAIM_LASTS = timedelta(minutes=10)
# The worker gives a sign each second; the longest it is silent for is the reasons.
SILENCE_LASTS = timedelta(minutes=2)
# So long the bell of a new request has to be heard before the sweep rings again.
BELL_LASTS = timedelta(minutes=1)
# A request that is begun anew this long after it was asked for takes worker after worker down.
GIVE_UP_AFTER = timedelta(hours=1)

State = PlanRun.State


def _left(now: datetime) -> Q:
    """Begun and not finished, so long ago, or so long silent, that nobody is at it."""
    began = Q(started_at__isnull=True) | Q(started_at__lte=now - CLAIM_LASTS)
    return Q(state=State.RUNNING) & (began | Q(seen_at__lte=now - SILENCE_LASTS))


def free_runs(now: datetime) -> "QuerySet[PlanRun]":
    """Return the requests that whoever comes first may begin."""
    return PlanRun.objects.filter(Q(state=State.ASKED) | _left(now))


def hopeless_runs(now: datetime) -> "QuerySet[PlanRun]":
    """Return the requests that were left again and again."""
    return PlanRun.objects.filter(_left(now), asked_at__lte=now - GIVE_UP_AFTER)


def due_runs(now: datetime) -> list[int]:
    """Return the ids of requests to ring for again, the oldest first."""
    unheard = Q(state=State.ASKED, asked_at__lte=now - BELL_LASTS)
    return list(
        PlanRun.objects.filter(unheard | _left(now))
        .order_by("asked_at", "pk")
        .values_list("pk", flat=True)
    )


def claimed(run: PlanRun) -> "QuerySet[PlanRun]":
    """Return the row while this claim on it holds; another's later claim has its own moment."""
    return PlanRun.objects.filter(pk=run.pk, state=PlanRun.State.RUNNING, started_at=run.started_at)


def found_plan(run: PlanRun) -> Plan:
    """Return the best plan that a request has found so far; one without crews: none yet."""
    try:
        return plan_from_row(Row("found", run.found)) if run.found else Plan()
    except NotADayError:
        return Plan()
