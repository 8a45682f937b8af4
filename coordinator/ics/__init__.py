"""Calendar messages and feeds as octets: facts in, bytes out, nothing else.

Pure: no Django, no clock, no settings. Sources: RFC 5545 (iCalendar), RFC 5546
(iTIP), RFC 7986 (calendar properties); each rule stands beside its code.
"""

from coordinator.ics.envelope import Envelope, envelope
from coordinator.ics.facts import Feed, Invite, Partstat, PublicDay
from coordinator.ics.feed import published
from coordinator.ics.invite import cancel, request

__all__ = [
    "Envelope",
    "Feed",
    "Invite",
    "Partstat",
    "PublicDay",
    "cancel",
    "envelope",
    "published",
    "request",
]
