"""What was signed and is needed no more, and until when the rest is kept."""

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from django.conf import settings
from django.db.models import Exists, OuterRef, Prefetch, Q, QuerySet

from workdays.models import Kept, Signature, SignUp
from workdays.queries.days import local_date
from workdays.rules import keeping
from workdays.rules.eligibility import LIVE
from workdays.rules.of_age import ADULT_AGE, STRICTEST_AGE

SHORT_YEAR = timedelta(days=365)
NAMED = ~Q(typed_name="") | ~Q(relation="") | ~Q(paper="")


def last_day_kept(signature: Signature, *, begun_by: datetime | None = None) -> date:
    """Return the last day on which a signature is kept with its names, as things stand now.

    ``begun_by``: days that begin later do not count, because nobody will be there.
    """
    return keeping.claims_end(_facts(signature, begun_by), years=settings.CLAIM_YEARS)


def with_days(signatures: "QuerySet[Signature]") -> "QuerySet[Signature]":
    """Return signatures with what ``last_day_kept`` needs, in a fixed number of statements."""
    rows = SignUp.objects.select_related("day__cemetery")
    found = signatures.select_related("person", "waiver__cemetery")
    return found.prefetch_related(Prefetch("person__sign_ups", queryset=rows, to_attr="said"))


def signatures_over(now: datetime) -> list[Signature]:
    """Return signatures that still hold names which no claim can need any more."""
    today = keeping.everywhere_past(now)
    found = with_days(_perhaps_over(now)).defer("text")
    return [row for row in found if last_day_kept(row) < today]


def kept_over(now: datetime) -> "QuerySet[Kept]":
    """Return names kept of the erased under which no signature holds a name any more."""
    named = Signature.objects.filter(NAMED)
    rows = Kept.objects.exclude(name="").filter(until_on__lt=keeping.everywhere_past(now))
    rows = rows.exclude(person__in=named.values("person"))
    return rows.exclude(person__in=named.values("signed_by"))


def _perhaps_over(now: datetime) -> "QuerySet[Signature]":
    """Return those worth a look, so that a sweep does not read what is kept for years to come."""
    before = now - SHORT_YEAR * settings.CLAIM_YEARS
    recent = SignUp.objects.filter(
        person=OuterRef("person"), state__in=LIVE, day__ends_at__gt=before
    )
    covered = recent.filter(day__starts_at__date__lte=OuterRef("valid_until"))
    needed = Q(Exists(covered)) | Q(Exists(recent), valid_until__isnull=True)
    young = Q(person__born_on__gt=(before - SHORT_YEAR * ADULT_AGE).date())
    return Signature.objects.filter(NAMED, ~needed, signed_at__lt=before).exclude(young)


def _facts(signature: Signature, begun_by: datetime | None) -> keeping.Signed:
    rows: Iterable[SignUp] = vars(signature.person).get("said", ())
    place = signature.waiver.cemetery
    ages = [row.day.cemetery.adult_age for row in rows] + ([place.adult_age] if place else [])
    ends = [
        row.day.ends_at.astimezone(row.day.cemetery.zone).date()
        for row in rows
        if row.state in LIVE
        and _covers(signature, local_date(row.day))
        and (begun_by is None or row.day.starts_at <= begun_by)
    ]
    return keeping.Signed(
        last_on=max([signature.signed_at.date(), *ends]),
        minor=signature.role != Signature.Role.SELF or not signature.person.is_adult,
        born_on=signature.person.born_on,
        adult_age=max(ages, default=STRICTEST_AGE),
    )


def _covers(signature: Signature, on: date) -> bool:
    return signature.valid_until is None or on <= signature.valid_until
