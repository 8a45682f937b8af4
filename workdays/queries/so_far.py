"""What a day has held so far: the plan in force, and those that it replaced on the day itself.

A plan that begins in the middle of its day holds no job that had ended by then; those stand in the
plan that was in force before, which counts until then.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from workdays.models import CrewJob, CrewPlan, Workday


@dataclass(frozen=True)
class InForce:
    """A published plan, and until when its jobs count; None: to the end of the day."""

    plan: CrewPlan
    until: datetime | None = None

    @property
    def counted(self) -> Q:
        """Return which rows of jobs in crews count."""
        mine = Q(crew__plan=self.plan)
        return mine if self.until is None else mine & Q(ends_at__lte=self.until)


def in_force(day: Workday) -> list[InForce]:
    """Return the published plan and those it goes on from, in their order; one statement."""
    published = Q(state=CrewPlan.State.PUBLISHED)
    replaced = Q(state=CrewPlan.State.OLD, published_at__isnull=False)
    rows = sorted(
        day.plans.filter(published | replaced),
        key=lambda row: (row.state == CrewPlan.State.PUBLISHED, row.published_at or row.made_at),
    )
    if not rows or rows[-1].state != CrewPlan.State.PUBLISHED:
        return []
    whole = max((place for place, row in enumerate(rows) if row.begins_at is None), default=0)
    rows = rows[whole:]
    later = [*(row.begins_at for row in rows[1:]), None]
    return [InForce(row, until) for row, until in zip(rows, later, strict=True)]


def counted(plans: Iterable[InForce]) -> Q:
    """Return which rows of jobs in crews count, over all plans; none where there is no plan."""
    found = Q(pk__in=[])
    for one in plans:
        found |= one.counted
    return found


def ended_by(day: Workday, since: datetime) -> set[int]:
    """Return the jobs that have ended by a moment, as the plans had it; two statements."""
    plans = in_force(day)
    if not plans:
        return set()
    ended = CrewJob.objects.filter(counted(plans), ends_at__lte=since)
    return set(ended.values_list("job_id", flat=True))
