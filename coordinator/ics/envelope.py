"""What the mail around a calendar message has to agree with."""

from dataclasses import dataclass

from icalendar import Calendar

from coordinator.ics.text import mailbox


@dataclass(frozen=True, slots=True)
class Envelope:
    """METHOD, organizer and invited mailbox of one message; addresses in small letters."""

    method: str
    organizer: str
    attendee: str


def envelope(octets: bytes) -> Envelope:
    """Return whom a message of ours is from and for; ValueError unless it names just one each."""
    calendar = Calendar.from_ical(octets)
    events = calendar.events
    if len(events) != 1 or len(events[0].attendees) != 1 or "ORGANIZER" not in events[0]:
        raise ValueError("A calendar message holds one event, one organizer, one attendee")
    return Envelope(
        method=str(calendar.get("METHOD", "")),
        organizer=mailbox(str(events[0]["ORGANIZER"])),
        attendee=mailbox(str(events[0].attendees[0])),
    )
