"""Publish a new version of the text that people sign; what is published never changes."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import Max

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays.models import Cemetery, Waiver
from workdays.rules.publishing import WaiverText, refusals_to_publish
from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import sha256

LANGUAGE = "en"
MEANWHILE = Refusal("meanwhile", "Somebody else published a text just now: look at it first.")


@transaction.atomic
def publish_waiver(
    cemetery: Cemetery | None, new: WaiverText, *, by: Person, now: datetime
) -> Waiver:
    """Publish a text for one cemetery, or None: for all that have none of their own.

    Raises Refused for a text that is signed already, and for the second of two at once.
    """
    versions = Waiver.objects.filter(cemetery=cemetery, language=LANGUAGE)
    current = versions.filter(published_at__isnull=False).order_by("-version").first()
    last = versions.aggregate(last=Max("version"))["last"] or 0
    refuse(refusals_to_publish(new, _text(current), current.version if current else 0))
    row = Waiver(
        cemetery=cemetery,
        title=new.title,
        version=last + 1,
        language=LANGUAGE,
        text=new.text,
        text_sha256=sha256(new.text),
        validity=new.validity,
        published_at=now,
    )
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        raise Refused([MEANWHILE]) from None
    detail = {"version": row.version, "sha256": row.text_sha256, "validity": row.validity}
    audit.record(audit.by_login(by), "published", row, detail)
    return row


def _text(row: Waiver | None) -> WaiverText | None:
    return WaiverText(row.title, row.text, row.validity) if row else None
