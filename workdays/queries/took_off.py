"""Jobs that left days to come because they may not be done there, as the audit holds them."""

from collections import Counter
from collections.abc import Collection

from coordinator.models import AuditEntry
from workdays.models import CrewPlan

TOOK_OFF = "took off"


def lost_from_plans(ids: Collection[int]) -> Counter[int]:
    """Return how many jobs left the published plan of each day since it was published."""
    plans = CrewPlan.objects.filter(day__in=ids, state=CrewPlan.State.PUBLISHED)
    published = dict(plans.order_by().values_list("day", "published_at"))
    if not published:
        return Counter()
    since = min(at for at in published.values() if at)
    rows = AuditEntry.objects.filter(verb=TOOK_OFF, at__gte=since).order_by()
    found = {
        (detail["day"], job)
        for job, detail, at in rows.values_list("thing_id", "detail", "at")
        if detail.get("planned") and (begun := published.get(detail["day"])) and at >= begun
    }
    return Counter(day for day, _ in found)
