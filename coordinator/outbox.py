"""The outbox: one row per message and key. The row is the truth, the broker only a bell."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings
from django.template.loader import render_to_string

from coordinator import tasks
from coordinator.context import whose
from coordinator.later import later
from coordinator.models import Person, SentMessage


@dataclass(frozen=True)
class Letter:
    """One message to one mailbox, ready to be sent.

    ``calendar`` holds the octets of an iCalendar object and ``calendar_method`` its METHOD.
    ``thread`` names messages that must leave in the order in which they were queued.
    ``unsubscribe`` is the address that ends such mail by one press (RFC 8058).
    ``references`` are earlier Message-IDs, oldest first, with blanks between.
    """

    reason: str
    to_address: str
    subject: str
    text: str
    html: str = ""
    person: Person | None = None
    calendar: bytes | None = None
    calendar_method: str = ""
    thread: str = ""
    references: str = ""
    unsubscribe: str = ""
    not_before: datetime | None = None


def compose(template: str, context: dict[str, Any], **letter: Any) -> Letter:
    """Return a letter from four templates: NAME.subject.txt, NAME.txt, NAME.html, NAME.why.txt.

    The last says in one sentence why it goes to this mailbox; both forms end with it.
    """
    full = {**whose(), "site_url": settings.SITE_URL, **context}
    subject = _one_line(f"{template}.subject.txt", full)
    why = _one_line(f"{template}.why.txt", full)
    return Letter(
        subject=subject[:250],
        text=f"{render_to_string(f'{template}.txt', full).rstrip()}\n\n{why}\n",
        html=render_to_string(f"{template}.html", {**full, "why": why}),
        **letter,
    )


def _one_line(template: str, context: dict[str, Any]) -> str:
    return " ".join(render_to_string(template, context).split())


def new_message_id() -> str:
    """Return a Message-ID (RFC 5322, 3.6.4), kept for ever: a repeat carries the same one."""
    domain = settings.MAIL_FROM_ADDRESS.rpartition("@")[2] or "localhost"
    return f"<{uuid.uuid4()}@{domain}>"


def queue(letter: Letter, *, key: str) -> SentMessage:
    """Queue a letter once per key, and ring for it after the commit.

    The same key again gives the row that is there: nothing is sent twice.
    """
    row, made = SentMessage.objects.get_or_create(
        key=key,
        defaults={
            "person": letter.person,
            "reason": letter.reason,
            "to_address": letter.to_address,
            "subject": letter.subject,
            "text": letter.text,
            "html": letter.html,
            "calendar": letter.calendar,
            "calendar_method": letter.calendar_method,
            "thread": letter.thread,
            "references": letter.references,
            "unsubscribe": letter.unsubscribe,
            "not_before": letter.not_before,
            "message_id": new_message_id(),
        },
    )
    if made:
        later(tasks.send_message, row.pk)
    return row
