"""Publish a new version of the text that people sign; what is published never changes."""

from datetime import datetime

from django.db import IntegrityError, transaction
from django.db.models import Max

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays.models import Cemetery, Waiver
from workdays.queries.waivers import current_waiver, first_texts
from workdays.rules.publishing import (
    OtherText,
    WaiverText,
    refusals_to_add_language,
    refusals_to_publish,
)
from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import sha256

MEANWHILE = Refusal("meanwhile", "Somebody else published a text just now: look at it first.")


@transaction.atomic
def publish_waiver(
    cemetery: Cemetery | None, new: WaiverText, *, by: Person, now: datetime
) -> Waiver:
    """Publish a text for one cemetery, or None: for all that have none of their own.

    Raises Refused for a text that is signed already, and for the second of two at once.
    """
    versions = Waiver.objects.filter(cemetery=cemetery)
    current = first_texts().filter(cemetery=cemetery).first()
    last = versions.aggregate(last=Max("version"))["last"] or 0
    refuse(refusals_to_publish(new, _text(current), current.version if current else 0))
    row = Waiver(
        cemetery=cemetery,
        title=new.title,
        version=last + 1,
        language=new.language,
        text=new.text,
        text_sha256=sha256(new.text),
        validity=new.validity,
        published_at=now,
    )
    return _published(row, by, "published")


@transaction.atomic
def add_language(first: Waiver, new: OtherText, *, by: Person, now: datetime) -> Waiver:
    """Publish what a version says in another language; signatures under it hold as long.

    Raises Refused for a version signed no longer, a language or a text that it has.
    """
    first = Waiver.objects.select_for_update(of=("self",)).get(pk=first.pk)
    texts = {first.language: first.text}
    texts.update(first.translations.values_list("language", "text"))
    is_current = first.translates_id is None and current_waiver(first.cemetery) == first
    refuse(refusals_to_add_language(new, texts, is_current=is_current, version=first.version))
    row = Waiver(
        cemetery=first.cemetery,
        translates=first,
        title=new.title,
        version=first.version,
        language=new.language,
        text=new.text,
        text_sha256=sha256(new.text),
        validity=first.validity,
        published_at=now,
    )
    return _published(row, by, "added a language")


def _published(row: Waiver, by: Person, verb: str) -> Waiver:
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        raise Refused([MEANWHILE]) from None
    detail = {"version": row.version, "sha256": row.text_sha256, "validity": row.validity}
    audit.record(audit.by_login(by), verb, row, detail | {"language": row.language})
    return row


def _text(row: Waiver | None) -> WaiverText | None:
    return WaiverText(row.title, row.text, row.validity, row.language) if row else None
