"""What the first page of the staff shows, in a fixed number of statements."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.db.models import QuerySet
from django.utils import timezone

from coordinator.health import worker_is_late
from coordinator.models import Person, SentMessage
from training.queries import waiting_for_countersign
from workdays.models import Cemetery, KindOfWork, Permission
from workdays.queries.bookings import bookings_waiting
from workdays.queries.leave_ahead import leave_ahead
from workdays.queries.week_days import day_needs, jobs_by_kind
from workdays.rules import week as rules
from workdays.rules.week_facts import BookingNeed, HoursNeed, LeaveNeed, OtherNeeds


@dataclass(frozen=True)
class Reader:
    """Who reads the page: where they may look, and where they organise."""

    person: Person
    seen: "QuerySet[Cemetery]"
    organised: "QuerySet[Cemetery]"
    is_organiser: bool


@dataclass(frozen=True)
class Week:
    """The first page: its headline, what stands under each date, and what leave to ask for.

    ``leave_ahead`` is empty when nothing runs out, nobody is waited for. ``organised``: cemeteries
    that the reader may look ahead at.
    """

    headline: str
    today: date
    entries: list[rules.Entry]
    leave_ahead: str
    organised: list[Cemetery]


def _leaves(organised: list[Cemetery], today: date) -> Iterator[LeaveNeed]:
    """Yield kinds of work whose last permission runs out while jobs wait."""
    permissions = Permission.objects.filter(cemetery__in=organised, ends_on__gte=today)
    last: dict[tuple[Cemetery, KindOfWork], date] = {}
    for row in permissions.select_related("cemetery").prefetch_related("kinds"):
        for kind in row.kinds.all():
            key = (row.cemetery, kind)
            last[key] = max(row.ends_on, last.get(key, row.ends_on))
    jobs = jobs_by_kind([cemetery.pk for cemetery in organised])
    until = today + timedelta(days=rules.LEAVE_DAYS)
    ending: dict[tuple[date, Cemetery], list[KindOfWork]] = defaultdict(list)
    for (cemetery, kind), ends_on in last.items():
        if ends_on <= until and (cemetery.pk, kind.pk) in jobs:
            ending[ends_on, cemetery].append(kind)
    for (ends_on, cemetery), kinds in sorted(ending.items(), key=lambda e: (e[0][0], e[0][1].name)):
        kinds.sort(key=lambda kind: (kind.order, kind.pk))
        waiting = sum(jobs[cemetery.pk, kind.pk] for kind in kinds)
        named = tuple(kind.name for kind in kinds)
        yield LeaveNeed(cemetery.slug, cemetery.name, named, ends_on, waiting)


def _leave_ahead(reader: Reader, organised: list[Cemetery], now: datetime) -> str:
    if not reader.is_organiser:
        return ""
    found = leave_ahead(organised, organised=(), now=now)
    return "" if found.is_quiet else f"{found.headline}."


def _hours(reader: Reader) -> HoursNeed | None:
    """Return what waits for a countersign: of oneself, or (organiser) at one's cemeteries."""
    entries = waiting_for_countersign(None if reader.is_organiser else reader.person)
    here = entries.filter(cemetery_number__in=reader.seen.values("pk"))
    rows = list(here.order_by().values_list("minutes", "person", "supervisor"))
    if not rows:
        return None
    return HoursNeed(
        minutes=sum(minutes for minutes, _, _ in rows),
        people=len({person for _, person, _ in rows}),
        own=all(supervisor == reader.person.pk for _, _, supervisor in rows),
    )


def _others(reader: Reader, organised: list[Cemetery], today: date, now: datetime) -> OtherNeeds:
    hours = _hours(reader)
    if not reader.is_organiser:
        return OtherNeeds(hours=hours)
    return OtherNeeds(
        worker_late=worker_is_late(now),
        failed_mails=SentMessage.objects.filter(state=SentMessage.State.FAILED).count(),
        bookings=tuple(
            BookingNeed(row.pk, row.host.name, row.wished_on, row.people)
            for row in bookings_waiting(reader.organised)
        ),
        leaves=tuple(_leaves(organised, today)),
        hours=hours,
    )


def week(reader: Reader, *, now: datetime) -> Week:
    """Return what needs this reader in the next seven days."""
    today = timezone.localdate(now)
    organised = list(reader.organised)
    ids = {cemetery.pk for cemetery in organised}
    needs = day_needs(reader.seen, organised=ids, now=now)
    others = _others(reader, organised, today, now)
    lines = [
        *rules.service_lines(others, today=today),
        *(line for day in needs for line in rules.day_lines(day, now=now)),
        *rules.other_lines(others, today=today),
    ]
    until = today + timedelta(days=rules.DAYS)
    near = [day for day in needs if day.ends_at > now and day.starts_at.date() < until]
    headings = [rules.heading_of(day) for day in near]
    return Week(
        headline=rules.headline(lines, today=today),
        today=today,
        entries=rules.entries(lines, headings, today=today),
        leave_ahead=_leave_ahead(reader, organised, now),
        organised=organised,
    )
