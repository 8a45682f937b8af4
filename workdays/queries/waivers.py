"""Which waiver is asked at a place, and who has signed what holds on a day."""

from collections.abc import Iterable
from datetime import date
from zoneinfo import ZoneInfo

from django.db.models import Q, QuerySet

from workdays.models import Cemetery, Signature, Waiver, Workday


def current_waiver(cemetery: Cemetery, language: str = "en") -> Waiver | None:
    """Return the newest published waiver: the cemetery's own if it has one, else the general."""
    published = Waiver.objects.filter(published_at__isnull=False, language=language)
    own = published.filter(cemetery=cemetery).order_by("-version").first()
    return own or published.filter(cemetery__isnull=True).order_by("-version").first()


def local_date(day: Workday) -> date:
    """Return the date of a day as people at the cemetery read it."""
    return day.starts_at.astimezone(ZoneInfo(day.cemetery.time_zone)).date()


def valid_signatures(day: Workday) -> "QuerySet[Signature]":
    """Return the confirmed signatures, not withdrawn, that hold on this day at this cemetery.

    One that holds "until a new version" counts for the current version only.
    """
    waiver = current_waiver(day.cemetery)
    if waiver is None:
        return Signature.objects.none()
    holds = Q(waiver__validity=Waiver.Validity.NEW_VERSION, version=waiver.version) | (
        ~Q(waiver__validity=Waiver.Validity.NEW_VERSION)
        & (Q(valid_until__isnull=True) | Q(valid_until__gte=local_date(day)))
    )
    return Signature.objects.filter(
        holds,
        waiver__cemetery=waiver.cemetery_id,
        confirmed_at__isnull=False,
        withdrawn_at__isnull=True,
    )


def people_with_waiver(day: Workday, ids: Iterable[int]) -> frozenset[int]:
    """Return those of these people whose own, or whose guardian's, signature holds on this day."""
    signed = valid_signatures(day).filter(person__in=list(ids))
    return frozenset(signed.values_list("person_id", flat=True))
