"""Which waiver is asked at a place, and who has signed what holds on a day."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db.models import Q, QuerySet

from workdays.models import Cemetery, Signature, Waiver, Workday
from workdays.queries.days import local_date


def current_waiver(cemetery: Cemetery | None, language: str = "en") -> Waiver | None:
    """Return the newest published waiver: the cemetery's own if it has one, else the general.

    None: the general one.
    """
    published = Waiver.objects.filter(published_at__isnull=False, language=language)
    own = published.filter(cemetery=cemetery).order_by("-version").first()
    return own or published.filter(cemetery__isnull=True).order_by("-version").first()


def valid_signatures(day: Workday) -> "QuerySet[Signature]":
    """Return the confirmed signatures, not withdrawn, that hold on this day at this cemetery.

    One that holds "until a new version" counts for the current version only. That a minor agreed
    to the rules is no waiver.
    """
    waiver = current_waiver(day.cemetery)
    if waiver is None:
        return Signature.objects.none()
    holds = Q(waiver__validity=Waiver.Validity.NEW_VERSION, version=waiver.version) | (
        ~Q(waiver__validity=Waiver.Validity.NEW_VERSION)
        & (Q(valid_until__isnull=True) | Q(valid_until__gte=local_date(day)))
    )
    return Signature.objects.exclude(role=Signature.Role.MINOR).filter(
        holds,
        waiver__cemetery=waiver.cemetery_id,
        confirmed_at__isnull=False,
        withdrawn_at__isnull=True,
    )


def people_with_waiver(day: Workday, ids: Iterable[int]) -> frozenset[int]:
    """Return those of these people whose own, or whose guardian's, signature holds on this day."""
    signed = valid_signatures(day).filter(person__in=list(ids))
    return frozenset(signed.values_list("person_id", flat=True))


def _newest(waivers: Iterable[Waiver], cemetery_id: int) -> Waiver | None:
    """Return what ``current_waiver`` gives, from rows read already, the newest first."""
    rows = list(waivers)
    own = next((w for w in rows if w.cemetery_id == cemetery_id), None)
    return own or next((w for w in rows if w.cemetery_id is None), None)


def _holds(signature: Signature, waiver: Waiver, on: date) -> bool:
    """Return whether ``valid_signatures`` would give this row for a day on that date."""
    if signature.waiver.cemetery_id != waiver.cemetery_id:
        return False
    if signature.waiver.validity == Waiver.Validity.NEW_VERSION:
        return signature.version == waiver.version
    return signature.valid_until is None or signature.valid_until >= on


def people_with_waiver_by_day(people: Mapping[Workday, Iterable[int]]) -> dict[int, set[int]]:
    """Return ``people_with_waiver`` of many days by their ids, in two statements."""
    asked = {day: set(ids) for day, ids in people.items()}
    waivers = list(
        Waiver.objects.filter(published_at__isnull=False, language="en").order_by("-version")
    )
    signatures = (
        Signature.objects.exclude(role=Signature.Role.MINOR)
        .filter(
            person__in=set().union(*asked.values()),
            confirmed_at__isnull=False,
            withdrawn_at__isnull=True,
        )
        .select_related("waiver")
    )
    by_person: dict[int, list[Signature]] = {}
    for row in signatures:
        by_person.setdefault(row.person_id, []).append(row)
    found: dict[int, set[int]] = {}
    for day, ids in asked.items():
        waiver, on = _newest(waivers, day.cemetery_id), local_date(day)
        found[day.pk] = {
            person
            for person in ids
            if waiver and any(_holds(row, waiver, on) for row in by_person.get(person, ()))
        }
    return found
