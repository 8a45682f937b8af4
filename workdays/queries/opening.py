"""What is known about a day that may be opened."""

from datetime import date, datetime

from django.db.models import Q

from workdays.models import KindOfWork, Waiver, Workday
from workdays.rules.opening import OpeningFacts


def opening_facts(day: Workday, now: datetime, *, on: date | None = None) -> OpeningFacts:
    """Return what ``rules.opening`` asks about a day, or about it on another date.

    Four statements.
    """
    on = on or day.starts_at.astimezone(day.cemetery.zone).date()
    leave = Q(
        permissions__cemetery=day.cemetery_id,
        permissions__starts_on__lte=on,
        permissions__ends_on__gte=on,
    )
    taught = KindOfWork.objects.filter(skill=day.teaches_id) if day.teaches_id else None
    waivers = Waiver.objects.filter(published_at__lte=now)
    return OpeningFacts(
        place=day.cemetery.name,
        on=on,
        is_draft=day.state == Workday.State.DRAFT,
        has_begun=day.starts_at <= now,
        permitted=frozenset(KindOfWork.objects.filter(leave).values_list("name", flat=True)),
        chosen=frozenset(day.jobs.values_list("kind__name", flat=True)),
        taught=frozenset(taught.values_list("name", flat=True)) if taught else frozenset(),
        has_waiver=waivers.filter(Q(cemetery=day.cemetery_id) | Q(cemetery=None)).exists(),
    )
