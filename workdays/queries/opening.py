"""What is known about a day that may be opened."""

from datetime import date, datetime

from django.db.models import Q

from workdays.models import KindOfWork, Waiver, Workday
from workdays.queries.readiness import permission_facts
from workdays.rules.opening import OpeningFacts
from workdays.rules.terms import terms_on


def opening_facts(day: Workday, now: datetime, *, on: date | None = None) -> OpeningFacts:
    """Return what ``rules.opening`` asks about a day, or about it on another date.

    Six statements.
    """
    starts_at, ends_at = (at.astimezone(day.cemetery.zone) for at in (day.starts_at, day.ends_at))
    later = on - starts_at.date() if on else starts_at - starts_at
    on = on or starts_at.date()
    names = dict(KindOfWork.objects.values_list("key", "name"))
    permissions = permission_facts([day.cemetery_id])[day.cemetery_id]
    permitted = {key for leave in permissions for key in leave.kinds if leave.holds(on, {key})}
    chosen = set(day.jobs.order_by().values_list("kind__key", flat=True))
    taught = _taught(day)
    waivers = Waiver.objects.filter(published_at__lte=now)
    return OpeningFacts(
        place=day.cemetery.name,
        on=on,
        starts_at=starts_at + later,
        ends_at=ends_at + later,
        is_draft=day.state == Workday.State.DRAFT,
        has_begun=day.starts_at <= now,
        permitted=frozenset(names[key] for key in permitted),
        chosen=frozenset(names[key] for key in chosen),
        taught=frozenset(names[key] for key in taught),
        has_waiver=waivers.filter(Q(cemetery=day.cemetery_id) | Q(cemetery=None)).exists(),
        quiet=terms_on(permissions, on, kinds=chosen | taught).quiet,
    )


def _taught(day: Workday) -> set[str]:
    if day.teaches_id is None:
        return set()
    return set(KindOfWork.objects.filter(skill=day.teaches_id).values_list("key", flat=True))
