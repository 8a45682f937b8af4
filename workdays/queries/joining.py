"""Two rows of people side by side, for an organiser who knows that they are one human."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import Q, QuerySet

from coordinator.humans import same_human
from coordinator.models import AuditEntry, Person
from training.models import HoursEntry, SignOff
from workdays.access import Viewer
from workdays.models import Membership, Signature, SignUp, Workday
from workdays.queries import naming
from workdays.queries.people import people_organised_by
from workdays.rules.eligibility import LIVE
from workdays.rules.joining import OneRow, Pair, which_stays

JOINED, PARTED = "joined as one person", "parted again"
MOST_SHOWN = 20


@dataclass(frozen=True)
class Side:
    """What is known of one row, to be compared with the other."""

    person: Person
    born_on: date | None
    days: int
    minutes: int
    signed: Sequence[str]
    sign_offs: Sequence[str]
    stays: bool


@dataclass(frozen=True)
class Joined:
    """A row that was joined into this person: when, and by whom."""

    person: Person
    at: datetime | None
    by: str
    why: str


def candidates(person: Person, who: Viewer, words: str) -> list[Person]:
    """Return whom an organiser may join with somebody: by words, else the most alike first."""
    others = people_organised_by(who).exclude(pk=person.pk)
    if words:
        found = others.filter(Q(name__icontains=words) | Q(email__icontains=words))
        return list(found.order_by("name", "pk")[:MOST_SHOWN])
    last = person.name.split()[-1] if person.name.split() else person.name
    alike = Q(name__icontains=last) if last else Q(pk__isnull=True)
    if person.telephone:
        alike |= Q(telephone=person.telephone)
    first = list(others.filter(alike).order_by("name", "pk")[:MOST_SHOWN])
    rest = others.exclude(pk__in=[one.pk for one in first]).order_by("name", "pk")
    return [*first, *rest[: MOST_SHOWN - len(first)]]


def pair_of(one: Person, other: Person, who: Viewer, *, now: datetime) -> Pair:
    """Return two rows with what decides whether they may be joined."""
    both = Q(person=one) | Q(person=other)
    return Pair(
        _row(one),
        _row(other),
        shared_days=[naming.day_name(day) for day in _shared_days(one, other, now)],
        guardian=SignUp.objects.filter(
            Q(person__in=same_human(one), guardian__in=same_human(other))
            | Q(person__in=same_human(other), guardian__in=same_human(one))
        ).exists(),
        staff_elsewhere=not who.everywhere
        and Membership.objects.filter(both)
        .exclude(cemetery__in=who.organised().values("pk"))
        .exists(),
    )


def _row(person: Person) -> OneRow:
    rows = Signature.objects.filter(person__in=same_human(person), role=Signature.Role.SELF)
    return OneRow(
        number=person.pk,
        is_adult=person.is_adult,
        born_on=person.born_on,
        signed_as=[name for name in rows.values_list("typed_name", flat=True) if name],
        logs_in=person.user_id is not None,
        confirmed=person.confirmed_at is not None,
        is_joined=person.joined_into_id is not None,
        others=person.joined_from.count(),
    )


def _shared_days(one: Person, other: Person, now: datetime) -> "QuerySet[Workday]":
    """Return days to come, or not closed, on whose list both stand."""
    open_days = Workday.objects.filter(state__in=Workday.COMING, ends_at__gt=now)
    for person in (one, other):
        live = SignUp.objects.filter(person__in=same_human(person), state__in=LIVE)
        open_days = open_days.filter(pk__in=live.values("day"))
    return open_days.select_related("cemetery").order_by("starts_at", "pk")


def sides(one: Person, other: Person, pair: Pair) -> list[Side]:
    """Return both rows as the page shows them, the one that stays first."""
    stays = which_stays(pair.one, pair.other)
    return sorted((_side(row, stays) for row in (one, other)), key=lambda side: not side.stays)


def _side(person: Person, stays: int) -> Side:
    mine = same_human(person)
    signatures = Signature.objects.filter(person__in=mine).select_related("waiver")
    sign_offs = SignOff.objects.filter(person__in=mine).select_related("skill")
    return Side(
        person=person,
        born_on=person.born_on,
        days=SignUp.objects.filter(person__in=mine, state=SignUp.State.COMING).count(),
        minutes=sum(HoursEntry.objects.filter(person__in=mine).values_list("minutes", flat=True)),
        signed=[f"{row.waiver}, as {row.typed_name}" for row in signatures],
        sign_offs=[f"{row.skill}: {row.get_level_display()}" for row in sign_offs],
        stays=person.pk == stays,
    )


def joined_to(person: Person) -> list[Joined]:
    """Return the rows that were joined into a person; two statements."""
    rows = list(person.joined_from.order_by("pk"))
    told = AuditEntry.objects.filter(
        verb=JOINED, thing_type="person", thing_id__in=[str(row.pk) for row in rows]
    )
    last = {entry.thing_id: entry for entry in told.select_related("actor").order_by("pk")}
    return [_joined(row, last.get(str(row.pk))) for row in rows]


def _joined(row: Person, entry: AuditEntry | None) -> Joined:
    if entry is None:
        return Joined(row, None, "", "")
    by = entry.actor.name if entry.actor else ""
    return Joined(row, entry.at, by, str(entry.detail.get("why", "")))
