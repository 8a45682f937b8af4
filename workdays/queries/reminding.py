"""When people of a day were last reminded to sign."""

from datetime import datetime

from coordinator.models import AuditEntry
from workdays.models import Workday

VERB = "reminded"


def last_reminder(day: Workday) -> datetime | None:
    """Return when the last reminder of a day went; one statement."""
    rows = AuditEntry.objects.filter(verb=VERB, thing_type="workday", thing_id=str(day.pk))
    return rows.order_by("-at").values_list("at", flat=True).first()
