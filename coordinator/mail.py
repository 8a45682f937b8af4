"""Deliver one queued row: claim it, send it, say what came of it.

A claim without a result lapses (MAIL_CLAIM_SECONDS), so a worker that dies in the middle loses
nothing; a message can arrive twice only if the receiver had accepted it and the answer was lost,
and then with the same Message-ID.
"""

import logging
from datetime import datetime, timedelta
from smtplib import SMTPException, SMTPRecipientsRefused, SMTPResponseException

from django.conf import settings
from django.core.mail import EmailMessage, EmailMultiAlternatives
from django.db.models import F, Q, QuerySet

from coordinator.invite_mail import calendar_message
from coordinator.models import SentMessage

log = logging.getLogger(__name__)
State = SentMessage.State


def due(now: datetime) -> "QuerySet[SentMessage]":
    """Return rows that wait: queued and due, or claimed so long ago that the claim lapsed."""
    stale = now - timedelta(seconds=settings.MAIL_CLAIM_SECONDS)
    queued = Q(state=State.QUEUED) & (Q(not_before__isnull=True) | Q(not_before__lte=now))
    return SentMessage.objects.filter(queued | Q(state=State.CLAIMED, claimed_at__lte=stale))


def _overtakes(row: SentMessage) -> bool:
    """Return whether an earlier message of the same thread has not left yet."""
    if not row.thread:
        return False
    earlier = SentMessage.objects.filter(thread=row.thread, pk__lt=row.pk)
    return earlier.filter(state__in=[State.QUEUED, State.CLAIMED]).exists()


def claim(pk: int, now: datetime) -> SentMessage | None:
    """Return the row if it is due and now ours; None when somebody else has it."""
    row = due(now).filter(pk=pk).first()
    if row is None or _overtakes(row):
        return None
    mine = due(now).filter(pk=pk, tries=row.tries)
    if mine.update(state=State.CLAIMED, claimed_at=now, tries=F("tries") + 1) != 1:
        return None
    row.refresh_from_db()
    return row


def _headers(row: SentMessage) -> dict[str, str]:
    headers = {"Message-ID": row.message_id, "Auto-Submitted": "auto-generated"}
    if row.references:
        headers["References"] = row.references
        headers["In-Reply-To"] = row.references.split()[-1]
    if row.unsubscribe:  # RFC 2369, 3.2; RFC 8058, 3.1: one press, no page in between
        headers["List-Unsubscribe"] = f"<{row.unsubscribe}>"
        headers["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    return headers


def as_mail(row: SentMessage) -> EmailMessage:
    """Return the message of a row as it goes over the wire; each time with the same Message-ID.

    ValueError when a calendar message and its mail disagree (see ``invite_mail``).
    """
    sender, headers = settings.DEFAULT_FROM_EMAIL, _headers(row)
    if row.calendar:
        return calendar_message(
            subject=row.subject,
            text=row.text,
            html=row.html,
            sender=sender,
            to=row.to_address,
            headers=headers,
            ics=bytes(row.calendar),
            method=row.calendar_method,
        )
    mail = EmailMultiAlternatives(row.subject, row.text, sender, [row.to_address], headers=headers)
    if row.html:
        mail.attach_alternative(row.html, "text/html")
    return mail


def _is_final(problem: Exception) -> bool:
    """Return whether trying again is of no use: the receiver refused for good (5xx)."""
    if isinstance(problem, SMTPRecipientsRefused):
        return all(code >= 500 for code, _ in problem.recipients.values())
    return isinstance(problem, SMTPResponseException) and problem.smtp_code >= 500


def _put_back(row: SentMessage, problem: Exception, now: datetime) -> None:
    final = _is_final(problem) or row.tries >= settings.MAIL_MOST_TRIES
    wait = timedelta(minutes=min(2**row.tries, 240))
    SentMessage.objects.filter(pk=row.pk, state=State.CLAIMED, tries=row.tries).update(
        state=State.FAILED if final else State.QUEUED,
        not_before=now + wait,
        last_error=f"{type(problem).__name__}: {problem}"[:250],
    )
    log.warning("Message %s was not taken: %s", row.pk, type(problem).__name__)


def deliver(pk: int, *, now: datetime) -> bool:
    """Send one row if it is due and free; return whether the receiver took it."""
    row = claim(pk, now)
    if row is None:
        return False
    try:
        as_mail(row).send()
    except (SMTPException, OSError, ValueError) as problem:
        _put_back(row, problem, now)
        return False
    SentMessage.objects.filter(pk=row.pk, tries=row.tries).update(
        state=State.SENT, sent_at=now, last_error=""
    )
    return True


def next_in_thread(pk: int) -> int | None:
    """Return the message that waited for this one to leave, if any."""
    row = SentMessage.objects.filter(pk=pk).exclude(thread="").first()
    if row is None:
        return None
    waiting = SentMessage.objects.filter(thread=row.thread, state=State.QUEUED, pk__gt=pk)
    return waiting.order_by("pk").values_list("pk", flat=True).first()
