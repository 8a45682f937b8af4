"""A mail that carries a calendar message in the form that mail programs act on.

    multipart/mixed
      multipart/alternative
        text/plain
        text/html
        text/calendar; method=REQUEST; charset=UTF-8     (base64, last: the best)
      application/ics                                    (attachment, the same octets)

Some mail programs see only the first form, some attach only the second.
Sources: RFC 6047 section 2.4, RFC 2046 section 5.1.4.
"""

import base64
from collections.abc import Mapping
from email.message import Message
from email.utils import getaddresses

from django.core.mail import EmailMessage, EmailMultiAlternatives

from coordinator import ics as calendars
from coordinator.ics.text import mailbox, mailto

# Set from the arguments alone: another hand on them would part mail and calendar.
OURS = frozenset({"from", "to", "cc", "bcc", "sender", "subject", "reply-to", "resent-to"})


class CalendarMessage(EmailMultiAlternatives):
    """A mail whose text/calendar part travels in base64, so that no relay touches a line end.

    Source: RFC 6047 section 2.5.
    """

    calendar: bytes = b""

    def message(self) -> Message:  # type: ignore[override]  # the stubs name a private class
        """Return the MIME tree with the calendar part encoded."""
        made: Message = super().message()
        for part in made.walk():
            if part.get_content_type() == "text/calendar":
                _encode(part, self.calendar)
        return made


def calendar_message(
    *,
    subject: str,
    text: str,
    html: str,
    sender: str,
    to: str,
    headers: Mapping[str, str],
    ics: bytes,
    method: str,
) -> EmailMessage:
    """Return a mail ready to send, one calendar message to one mailbox.

    `sender` is the organizer of the calendar message and `to` its attendee, each with or
    without a name (email.utils.formataddr quotes a name that needs it); `headers`
    hold Message-ID (kept for a second try), and References and In-Reply-To after the
    first message. Auto-Submitted is set unless given (RFC 3834 section 5).
    ValueError when mail and calendar disagree: a careful reader ignores such a message
    (RFC 6047 sections 2.2.1 to 2.4).
    """
    _check_headers(headers)
    _check_agreement(calendars.envelope(ics), sender=sender, to=to, method=method)
    said = any(name.lower() == "auto-submitted" for name in headers)
    every = {**({} if said else {"Auto-Submitted": "auto-generated"}), **headers}
    mail = CalendarMessage(subject, text, sender, [to], headers=every)
    mail.calendar = ics
    mail.attach_alternative(html, "text/html")
    mail.attach_alternative(ics.decode(), f"text/calendar; method={method}")
    mail.attach("invite.ics", ics, "application/ics")
    return mail


def _encode(part: Message, octets: bytes) -> None:
    del part["Content-Transfer-Encoding"]
    part.set_payload(base64.encodebytes(octets).decode("ascii"))
    part["Content-Transfer-Encoding"] = "base64"
    part.set_param("charset", "UTF-8")


def _check_headers(headers: Mapping[str, str]) -> None:
    names = {name.lower() for name in headers}
    if "message-id" not in names:
        raise ValueError("A calendar mail needs the Message-ID that a second try keeps")
    if names & OURS:
        raise ValueError(f"Not to be set by hand: {', '.join(sorted(names & OURS))}")


def _check_agreement(envelope: calendars.Envelope, *, sender: str, to: str, method: str) -> None:
    if envelope.method != method:
        raise ValueError(f"METHOD is {envelope.method!r}, the mail would say {method!r}")
    if envelope.organizer != _mailbox(sender):
        raise ValueError("The sender is not the organizer of the calendar message")
    if envelope.attendee != _mailbox(to):
        raise ValueError("The receiver is not the attendee of the calendar message")


def _mailbox(written: str) -> str:
    """Return the one address of a header as the calendar has it; ValueError for several."""
    found = getaddresses([written])
    if len(found) != 1:
        raise ValueError(f"Not one mailbox: {written!r}")
    return mailbox(mailto(found[0][1]))
