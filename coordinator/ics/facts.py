"""What a calendar entry says, before it is written."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from uuid import UUID

from coordinator.ics import text, zone

HIGHEST_SEQUENCE = 2**31 - 1  # RFC 5545 section 3.3.8: a signed 32-bit number


class Partstat(StrEnum):
    """Answer of the invited mailbox. Source: RFC 5545 section 3.2.12."""

    NEEDS_ACTION = "NEEDS-ACTION"
    ACCEPTED = "ACCEPTED"
    DECLINED = "DECLINED"
    TENTATIVE = "TENTATIVE"


@dataclass(frozen=True, kw_only=True, slots=True)
class Entry:
    """One gathering in a calendar: when, where, what.

    `uid` stays for ever and `sequence` only rises. Moments are aware; whole
    seconds count. `tzid` is the zone of the cemetery (a key of the tz database).
    ValueError for facts that no calendar could carry.
    """

    uid: UUID
    sequence: int
    dtstamp: datetime
    starts_at: datetime
    ends_at: datetime
    tzid: str
    summary: str
    description: str = ""
    location: str = ""
    latitude: float | None = None
    longitude: float | None = None
    url: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.sequence <= HIGHEST_SEQUENCE:
            raise ValueError(f"SEQUENCE out of range: {self.sequence}")
        if zone.instant(self.ends_at) <= zone.instant(self.starts_at):
            raise ValueError("The end must come after the start")
        if not text.clean_line(self.summary):
            raise ValueError("An entry needs a title: a reader calls an empty one broken")
        zone.instant(self.dtstamp)
        zone.named(self.tzid)
        _check_place(self.latitude, self.longitude)
        if self.url:
            text.web_address(self.url)


@dataclass(frozen=True, kw_only=True, slots=True)
class Invite(Entry):
    """One invitation for one mailbox, with an identity of its own.

    `dtstamp` is the moment at which this message was made (RFC 5545 section 3.8.7.2).
    """

    organizer_name: str
    organizer_email: str
    attendee_name: str
    attendee_email: str
    partstat: Partstat = Partstat.NEEDS_ACTION
    rsvp: bool = True

    def __post_init__(self) -> None:
        Entry.__post_init__(self)
        text.mailto(self.organizer_email)
        text.mailto(self.attendee_email)


@dataclass(frozen=True, kw_only=True, slots=True)
class PublicDay(Entry):
    """One day as everybody may see it, under the day's own UID.

    `dtstamp` is the moment of the last change (RFC 5545 section 3.8.7.2), so the
    octets stay the same until the day changes.
    """

    called_off: bool = False


@dataclass(frozen=True, kw_only=True, slots=True)
class Feed:
    """What a feed that people subscribe to says about itself. Source: RFC 7986."""

    name: str
    source: str
    description: str = ""
    page: str = ""
    refresh_hours: int = 6

    def __post_init__(self) -> None:
        if not text.clean_calendar_name(self.name):
            raise ValueError("A feed needs a name")
        text.web_address(self.source)
        if self.page:
            text.web_address(self.page)
        if self.refresh_hours < 1:
            raise ValueError("A feed is refreshed at most once an hour")


def _check_place(latitude: float | None, longitude: float | None) -> None:
    if (latitude is None) != (longitude is None):
        raise ValueError("Latitude and longitude come together")
    if latitude is None or longitude is None:
        return
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise ValueError("No such place on earth")
