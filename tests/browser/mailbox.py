"""One mailbox at the mail server of a test, as its owner sees it."""

import re
from dataclasses import dataclass
from email.message import EmailMessage

from tests.readers import libical, vobject_reader
from tests.readers.octets import faults
from tests.readers.seen import SeenEvent
from tests.service.receiver import Receiver
from tests.waiting import eventually

READERS = (libical.read, vobject_reader.read)


@dataclass
class Mailbox:
    """Gives mail in the order of its coming; what was given once is not given again."""

    receiver: Receiver
    address: str
    given: int = 0

    def subjects(self) -> list[str]:
        """Return the subjects of everything that has come."""
        return [str(mail["Subject"]) for mail in self.receiver.to(self.address)]

    def next(self, count: int = 1, *, timeout: float = 60) -> list[EmailMessage]:
        """Wait for so many new mails and return them, those with a calendar entry last."""
        wanted = self.given + count
        eventually(
            lambda: len(self.subjects()) >= wanted,
            timeout=timeout,
            what=f"mail number {wanted} for {self.address}",
        )
        found = self.receiver.to(self.address)[self.given : wanted]
        self.given = wanted
        return sorted(found, key=lambda mail: calendar_of(mail) is not None)

    def nothing_more(self) -> bool:
        """Return whether no mail came that was not looked at."""
        return len(self.subjects()) == self.given


def text_of(mail: EmailMessage) -> str:
    """Return the plain text."""
    body = mail.get_body(("plain",))
    assert body is not None
    return str(body.get_content())


def links_in(mail: EmailMessage) -> list[str]:
    """Return the addresses in the plain text."""
    return re.findall(r"https?://\S+", text_of(mail))


def calendar_of(mail: EmailMessage) -> bytes | None:
    """Return the octets of the calendar part, if there is one."""
    for part in mail.walk():
        if part.get_content_type() == "text/calendar":
            octets = part.get_payload(decode=True)
            assert isinstance(octets, bytes)
            return octets
    return None


def methods_of(mail: EmailMessage) -> list[str]:
    """Return what the parts of a mail say that their calendars ask for."""
    said = [part["Content-Type"].params.get("method", "") for part in mail.walk()]
    return [method for method in said if method]


def entry_in(mail: EmailMessage, method: str) -> SeenEvent:
    """Return the one event of a calendar mail as two foreign readers see it, and both the same.

    The mail, its calendar and every reader must name the same METHOD (RFC 6047, 2.4), and the
    octets must be without fault (RFC 5545, RFC 5546).
    """
    octets = calendar_of(mail)
    assert octets is not None, f"{mail['Subject']}: no calendar part"
    assert faults(octets) == []
    assert methods_of(mail) == [method]
    found = [read(octets) for read in READERS]
    assert [seen.complaints for seen in found] == [[] for _ in READERS]
    assert [seen.method for seen in found] == [method for _ in READERS]
    (first,), (second,) = (seen.events for seen in found)
    for name in ("uid", "sequence", "start_utc", "end_utc", "status", "attendee_email"):
        assert getattr(first, name) == getattr(second, name)
    return first
