"""Messages to one mailbox: come (REQUEST), and no longer come (CANCEL)."""

from icalendar import vCalAddress

from coordinator.ics.event import add_text, calendar, describe, event, written
from coordinator.ics.facts import Invite
from coordinator.ics.text import clean, clean_name, mailto


def request(invite: Invite) -> bytes:
    """Return the message that invites, corrects the wording, or moves.

    The caller raises SEQUENCE when time or place changes, and asks again with
    NEEDS-ACTION and `rsvp`; for mere wording both stay. Source: RFC 5546
    sections 2.1.4 and 3.2.2.
    """
    made = event(invite)
    describe(made, invite)
    made.add("STATUS", "CONFIRMED")
    made.add("ORGANIZER", _organizer(invite))
    attendee = _attendee(invite)
    attendee.params["PARTSTAT"] = invite.partstat.value
    attendee.params["RSVP"] = "TRUE" if invite.rsvp else "FALSE"
    made.add("ATTENDEE", attendee)
    return written(calendar("REQUEST"), [made])


def cancel(invite: Invite, *, whole_day: bool, reason: str = "") -> bytes:
    """Return the message that takes an invitation back; SEQUENCE must have been raised.

    `whole_day`: the whole entry of this UID is over, and STATUS says so; otherwise the
    mailbox alone is taken off an entry that goes on, and STATUS must be absent. The
    times stay in it for a reader that never saw the REQUEST.
    Source: RFC 5546 sections 2.1.4, 3.2.5 and 5.2.1.
    """
    if invite.sequence < 1:
        raise ValueError("A CANCEL carries a raised SEQUENCE, so at least 1")
    made = event(invite)
    if whole_day:
        made.add("STATUS", "CANCELLED")
    add_text(made, "COMMENT", clean(reason))
    made.add("ORGANIZER", _organizer(invite))
    made.add("ATTENDEE", _attendee(invite))
    return written(calendar("CANCEL"), [made])


def _organizer(invite: Invite) -> vCalAddress:
    return _person(invite.organizer_name, invite.organizer_email)


def _attendee(invite: Invite) -> vCalAddress:
    person = _person(invite.attendee_name, invite.attendee_email)
    person.params["CUTYPE"] = "INDIVIDUAL"
    person.params["ROLE"] = "REQ-PARTICIPANT"
    return person


def _person(name: str, address: str) -> vCalAddress:
    """Return a mailto: URI with its name. Source: RFC 5545 sections 3.3.3 and 3.2.2."""
    person = vCalAddress(mailto(address))
    shown = clean_name(name)
    if shown:
        person.params["CN"] = shown
    return person
