"""Take back what was signed; the record stays, and the days that need it lose the person."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.refused import Refused
from workdays import signature_mail
from workdays.actions.replanning import plan_again
from workdays.models import Signature
from workdays.queries.signatures import days_without_waiver
from workdays.rules.refusals import Refusal

GONE = Refusal("withdrawn", "This was taken back already; what was signed can still be read.")
NOT_YET = Refusal("unconfirmed", "This does not hold yet: the mailed link was not answered.")


@transaction.atomic
def withdraw_signature(
    signature_id: int, *, now: datetime, why: str = "", actor: audit.Actor | None = None
) -> Signature:
    """Let a signature hold no longer. Raises Refused.

    ``why``: the reason of an organiser, one of a list; ``actor`` None: who signed, by their link.
    Days that now lack a waiver are planned again, and their organisers are told.
    """
    rows = Signature.objects.select_for_update(of=("self",))
    row = rows.select_related("person", "signed_by", "waiver").get(pk=signature_id)
    if row.withdrawn_at or not row.confirmed_at:
        raise Refused([GONE if row.withdrawn_at else NOT_YET])
    row.withdrawn_at = now
    row.save(update_fields=["withdrawn_at"])
    detail = {"version": row.version, "sha256": row.text_sha256, "why": why}
    audit.record(actor or audit.by_link(row.signed_by), "took back", row, detail)
    for day in days_without_waiver(row.person, now=now):
        plan_again(day)
        signature_mail.tell_organisers(row, day)
    return row
