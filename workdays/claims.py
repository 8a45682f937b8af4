"""Blank what was kept for claims and audits once nobody can need it; found by the sweep.

Which fields go is declared by the models (``PERSONAL``), when by ``rules.keeping``. The audit
keeps which fields of which row went, never what stood there; twice does no harm.
"""

from collections.abc import Sequence
from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.db.models import Model, Q

from coordinator import audit
from coordinator.models import Person
from coordinator.personal import Keep
from training.models import Countersign, Revocation, SignOff
from workdays.blanking import blank_values
from workdays.models import Kept, Permission, Signature
from workdays.queries.keeping import kept_over, signatures_over
from workdays.rules.keeping import audited_before, everywhere_past, years_later

CLAIMS_END = "claims-end"
AUDITED = "audited"
SWEPT_FOR_CLAIMS: tuple[type[Model], ...] = (Signature, Permission, Kept)
SWEPT_FOR_AUDITS: tuple[type[Model], ...] = (Countersign, SignOff, Revocation)


@transaction.atomic
def blank_over(now: datetime) -> None:
    """Blank the names under signatures and permissions, and words on hours, that are over."""
    signatures = signatures_over(now)
    _remove_papers(signatures)
    _blank(signatures, Keep.UNTIL_CLAIMS_END, CLAIMS_END)
    ended_on = years_later(everywhere_past(now), -settings.CLAIM_YEARS)
    _blank(_filled(Permission, Q(ends_on__lt=ended_on)), Keep.UNTIL_CLAIMS_END, CLAIMS_END)
    _let_go_of_the_erased(now)
    before = audited_before(now)
    stands_no_more = Q(revocation__on__lt=before) | Q(
        person__erased_at__isnull=False, on__lt=before
    )
    for model, over in (
        (Countersign, Q(entry__on__lt=before)),
        (SignOff, stands_no_more),
        (Revocation, Q(on__lt=before)),
    ):
        _blank(_filled(model, over, Keep.UNTIL_AUDITED), Keep.UNTIL_AUDITED, AUDITED)


def _filled(model: type[Model], over: Q, keep: Keep = Keep.UNTIL_CLAIMS_END) -> list[Model]:
    filled = Q()
    for name, blank in blank_values(model, keep).items():
        filled |= ~Q(**{name: blank})
    return list(model._default_manager.filter(over & filled))


def _blank(rows: Sequence[Model], keep: Keep, rule: str) -> None:
    """Blank rows of one model, and note which fields went."""
    if not rows:
        return
    model = type(rows[0])
    blanks = blank_values(model, keep)
    audit.record_many(
        audit.by_rule(rule),
        "blanked",
        [(row, {"fields": [n for n in blanks if getattr(row, n) != blanks[n]]}) for row in rows],
    )
    model._default_manager.filter(pk__in=[row.pk for row in rows]).update(**blanks)


def _let_go_of_the_erased(now: datetime) -> None:
    """Blank the names kept of the erased, when nothing that they signed holds a name any more."""
    rows = list(kept_over(now))
    _blank(rows, Keep.UNTIL_CLAIMS_END, CLAIMS_END)
    Person.objects.filter(pk__in=[row.person_id for row in rows]).update(born_on=None)


def _remove_papers(signatures: Sequence[Signature]) -> None:
    """Remove pictures of signed papers once the blanking stands."""
    papers = [(row.paper.storage, row.paper.name) for row in signatures if row.paper]

    def remove() -> None:
        for storage, name in papers:
            if name:
                storage.delete(name)

    transaction.on_commit(remove, robust=True)
