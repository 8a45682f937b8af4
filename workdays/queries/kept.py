"""What is kept of people who were erased, for an organiser of the whole programme."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, Q, QuerySet

from coordinator.models import Person
from workdays.models import Kept, Signature


@dataclass(frozen=True)
class KeptRow:
    """Somebody erased, without a name: a number, when, and until when what is kept of them."""

    pk: int
    erased_at: datetime | None
    kept: Kept


def kept_rows() -> list[KeptRow]:
    """Return everybody of whom something is kept, the newest first."""
    rows = Kept.objects.exclude(name="").select_related("person").order_by("-person__erased_at")
    return [KeptRow(row.pk, row.person.erased_at, row) for row in rows]


def erased_counts() -> tuple[int, int]:
    """Return how many people were erased, and of how many a name is still kept."""
    erased = Person.objects.filter(erased_at__isnull=False)
    named = Count("pk", filter=Q(kept__isnull=False) & ~Q(kept__name=""))
    counts = erased.aggregate(all=Count("pk"), kept=named)
    return counts["all"], counts["kept"]


def signed_by_or_for(kept: Kept) -> "QuerySet[Signature]":
    """Return what somebody signed, and what was signed for them, the newest first."""
    mine = Q(person=kept.person_id) | Q(signed_by=kept.person_id)
    return Signature.objects.filter(mine).select_related("waiver", "person", "signed_by")
