"""A signature as a record: the same facts from the same row, always; and what hangs on it."""

from datetime import UTC, datetime

from coordinator.humans import same_human
from coordinator.models import Person
from workdays.models import Signature, SignUp, Workday
from workdays.queries.days import local_date
from workdays.queries.waivers import people_with_waiver
from workdays.rules.parties import age_on


def record_of(row: Signature) -> dict[str, object]:
    """Return every fact of a signature, moments in UTC; None for what has not happened."""
    return {
        "signed_by": row.signed_by.name,
        "signed_for": row.person.name,
        "role": row.role,
        "relation": row.relation,
        "typed_name": row.typed_name,
        "affirmed": row.affirmed,
        "method": row.method,
        "title": row.waiver.title,
        "version": row.version,
        "language": row.language,
        "text": row.text,
        "text_sha256": row.text_sha256,
        "signed_at": row.signed_on.isoformat() if row.signed_on else _utc(row.signed_at),
        "confirmed_at": _utc(row.confirmed_at),
        "valid_until": row.valid_until.isoformat() if row.valid_until else None,
        "withdrawn_at": _utc(row.withdrawn_at),
    }


def _utc(at: datetime | None) -> str | None:
    return f"{at.astimezone(UTC):%Y-%m-%dT%H:%M:%SZ}" if at else None


def days_ahead(person: Person, *, now: datetime) -> list[Workday]:
    """Return the days to come on which a person has a place, the next first."""
    rows = SignUp.objects.filter(person__in=same_human(person), state=SignUp.State.COMING)
    rows = rows.filter(day__ends_at__gt=now, day__state__in=Workday.COMING)
    rows = rows.select_related("day__cemetery")
    return [row.day for row in rows.order_by("day__starts_at")]


def days_without_waiver(person: Person, *, now: datetime) -> list[Workday]:
    """Return those of the days to come for which nothing that a person signed holds."""
    ahead = days_ahead(person, now=now)
    return [day for day in ahead if not people_with_waiver(day, [person.pk])]


def is_minor(row: SignUp) -> bool:
    """Return whether somebody is under age on the day."""
    return is_minor_on(row.day, row.person)


def is_minor_on(day: Workday, person: Person) -> bool:
    """Return whether somebody is under age on a day, at its place, by what is known of them."""
    if person.born_on is None:
        return not person.is_adult
    return age_on(person.born_on, local_date(day)) < day.cemetery.adult_age
