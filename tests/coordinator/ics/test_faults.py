"""Deliberate faults in right octets: each must be reported, or the checks prove nothing."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import pytest

from coordinator import ics
from tests.coordinator.ics.cases import make_invite, make_public_day
from tests.readers import libical, vobject_reader
from tests.readers.octets import faults
from tests.readers.seen import differences

MOVED_TO = {
    "starts_at": datetime(2026, 5, 16, 13, tzinfo=UTC),
    "ends_at": datetime(2026, 5, 16, 16, tzinfo=UTC),
}
PEOPLE = {"attendee_email": "ana@mail.example", "organizer_email": "invites@hollin.example"}
ONE_DAY = {
    "uid": "7b6f3c52-5f7e-4c0a-8d31-2f1f6a1c9e01",
    "summary": "Cleaning day at Alder Hill",
    "location": "Alder Hill, north gate",
    "start_utc": "20260509T130000Z",
    "end_utc": "20260509T160000Z",
}
LATER_DAY = {**ONE_DAY, "start_utc": "20260516T130000Z", "end_utc": "20260516T160000Z"}
ASKED = {**PEOPLE, "attendee_name": "Ana Lopez", "partstat": "NEEDS-ACTION", "rsvp": "TRUE"}
FEED = ics.Feed(name="Hollin stones", source="https://stones.example/days.ics")
SPRING_NIGHT = {
    "starts_at": datetime(2026, 3, 8, 6, 30, tzinfo=UTC),
    "ends_at": datetime(2026, 3, 8, 8, tzinfo=UTC),
}
SPRING_DAY = {
    "starts_at": datetime(2026, 3, 10, 13, tzinfo=UTC),
    "ends_at": datetime(2026, 3, 10, 16, tzinfo=UTC),
}

# The right octets, and what a reader must see in them.
BASES: dict[str, tuple[bytes, Mapping[str, Any]]] = {
    "invited": (
        ics.request(make_invite()),
        {**ONE_DAY, **ASKED, "method": "REQUEST", "sequence": 0, "status": "CONFIRMED"},
    ),
    "moved": (
        ics.request(make_invite(sequence=1, **MOVED_TO)),
        {**LATER_DAY, **ASKED, "method": "REQUEST", "sequence": 1, "status": "CONFIRMED"},
    ),
    "taken off": (
        ics.cancel(make_invite(sequence=2), whole_day=False),
        {**ONE_DAY, **PEOPLE, "method": "CANCEL", "sequence": 2, "must_not_have": ["STATUS"]},
    ),
    "called off": (
        ics.cancel(make_invite(sequence=2), whole_day=True, reason="Storm, hail"),
        {
            **{**ONE_DAY, **PEOPLE, "method": "CANCEL", "sequence": 2},
            **{"status": "CANCELLED", "comment": "Storm, hail"},
        },
    ),
    "feed": (
        ics.published([make_public_day()], tzid="America/Detroit", year=2026, feed=FEED),
        {**ONE_DAY, "sequence": 0, "status": "CONFIRMED", "must_not_have": ["ATTENDEE"]},
    ),
    "spring day": (
        ics.request(make_invite(**SPRING_DAY)),
        {"start_utc": "20260310T130000Z", "end_utc": "20260310T160000Z"},
    ),
    "spring night": (
        ics.request(make_invite(**SPRING_NIGHT)),
        {"start_utc": "20260308T063000Z", "end_utc": "20260308T080000Z"},
    ),
}


@dataclass(frozen=True)
class Fault:
    """One deliberate fault; `seen_by` names the check that has to report it."""

    name: str
    base: str
    spoil: Callable[[bytes], bytes]
    seen_by: str = "octets"


def swap(old: bytes, new: bytes) -> Callable[[bytes], bytes]:
    """Return a change of the octets, which must have something to change."""

    def spoil(octets: bytes) -> bytes:
        assert old in octets
        return octets.replace(old, new)

    return spoil


def cut(pattern: bytes, new: bytes = b"") -> Callable[[bytes], bytes]:
    """Return a change by pattern, across lines."""

    def spoil(octets: bytes) -> bytes:
        spoiled, count = re.subn(pattern, new, octets, flags=re.DOTALL)
        assert count
        return spoiled

    return spoil


ALARM = b"BEGIN:VALARM\r\nACTION:DISPLAY\r\nDESCRIPTION:x\r\nTRIGGER:-P1D\r\nEND:VALARM\r\n"
ZONE = rb"BEGIN:VTIMEZONE.*END:VTIMEZONE\r\n"
DATES = b"RDATE:20070311T020000,20080309T020000\r\n"

FAULTS = [
    Fault("no VTIMEZONE", "invited", cut(ZONE)),
    Fault("an empty VTIMEZONE", "invited", cut(rb"BEGIN:DAYLIGHT.*END:STANDARD\r\n")),
    Fault("a list of dates in the zone", "invited", cut(rb"RRULE:[^\r]*BYMONTH=3\r\n", DATES)),
    Fault(
        "an onset in the clock after the change",
        "invited",
        swap(b"DTSTART:20070311T020000", b"DTSTART:20070311T030000"),
    ),
    Fault("a rule for the wrong Sunday", "spring day", swap(b"BYDAY=2SU", b"BYDAY=-1SU")),
    Fault(
        "a rule for the wrong Sunday, read",
        "spring day",
        swap(b"BYDAY=2SU", b"BYDAY=-1SU"),
        "vobject",
    ),
    Fault("offsets the wrong way round", "invited", swap(b"TZOFFSETTO:-0400", b"TZOFFSETTO:-0600")),
    Fault("no TZOFFSETTO", "invited", swap(b"TZOFFSETTO:-0400\r\n", b"")),
    Fault("a local time without TZID", "invited", cut(rb"DTSTART;TZID=[^:]*:", b"DTSTART:")),
    Fault("a TZID together with Z", "invited", swap(b"T090000\r\n", b"T090000Z\r\n")),
    Fault(
        "a time with an offset", "invited", cut(rb"DTSTART;[^\r]*", b"DTSTART:20260509T090000-0400")
    ),
    Fault(
        "a skipped time as it is", "spring night", swap(b":20260308T013000", b":20260308T023000")
    ),
    Fault(
        "a time that happens twice as it is",
        "invited",
        swap(b":20260509T090000", b":20261101T013000"),
    ),
    Fault("a stamp in local time", "invited", swap(b"120000Z", b"120000")),
    Fault("an end before the start", "invited", swap(b"T120000\r\n", b"T080000\r\n"), "vobject"),
    Fault("an hour off", "invited", swap(b"T090000\r\n", b"T100000\r\n"), "vobject"),
    Fault(
        "a zone an hour off", "invited", cut(rb"TZOFFSETTO:-0400", b"TZOFFSETTO:-0300"), "vobject"
    ),
    Fault("LF line ends", "invited", swap(b"\r\n", b"\n")),
    Fault("doubled CR", "invited", swap(b"\r\n", b"\r\r\n")),
    Fault("a long line", "invited", swap(b"\r\n ", b"")),
    Fault(
        "a character over two lines", "invited", swap(b"Cleaning day", b"Cleaning \xc3\r\n \xa9")
    ),
    Fault("Latin-1", "invited", swap(b"Cleaning", b"Cl\xe9aning")),
    Fault("a byte order mark", "invited", swap(b"BEGIN:VCALENDAR", b"\xef\xbb\xbfBEGIN:VCALENDAR")),
    Fault("a vertical tab", "invited", swap(b"Cleaning day", b"Cleaning\x0bday")),
    Fault("NUL", "invited", swap(b"Cleaning day", b"Cleaning\x00day")),
    Fault("a line separator", "invited", swap(b"Cleaning day", "Cleaning\u2028day".encode())),
    Fault("a bare comma", "invited", swap(rb"Hill\, north", b"Hill, north")),
    Fault("a bare comma, read", "invited", swap(rb"Hill\, north", b"Hill, north"), "vobject"),
    Fault("a raw line break in text", "invited", swap(b"Cleaning day", b"Cleaning\r\nday")),
    Fault(
        "an injected line", "feed", swap(b"SUMMARY:", b"ATTENDEE:mailto:e@mail.example\r\nSUMMARY:")
    ),
    Fault("a UID on the calendar", "feed", swap(b"VERSION:2.0", b"VERSION:2.0\r\nUID:x")),
    Fault(
        "no VALUE at REFRESH-INTERVAL",
        "feed",
        swap(b"REFRESH-INTERVAL;VALUE=DURATION", b"REFRESH-INTERVAL"),
    ),
    Fault("no VALUE at SOURCE", "feed", swap(b"SOURCE;VALUE=URI", b"SOURCE")),
    Fault("a bare comma in NAME", "feed", swap(b"NAME:Hollin", b"NAME:Hollin,")),
    Fault("an organizer that is no URI", "invited", swap(b"mailto:invites", b"invites")),
    Fault("an attendee that is no URI", "invited", swap(b"mailto:ana", b"ana")),
    Fault("no question", "invited", swap(b";RSVP=TRUE", b"")),
    Fault("an unknown answer", "invited", swap(b"NEEDS-ACTION", b"MAYBE")),
    Fault("no organizer", "invited", cut(rb"ORGANIZER[^\r]*\r\n"), "libical"),
    Fault("no organizer, by octets", "invited", cut(rb"ORGANIZER[^\r]*\r\n")),
    Fault("no attendee", "invited", cut(rb"ATTENDEE.*?\r\n(?! )"), "libical"),
    Fault("another attendee", "invited", swap(b"mailto:ana", b"mailto:ann"), "vobject"),
    Fault("an alarm in a cancellation", "called off", swap(b"END:VEVENT", ALARM + b"END:VEVENT")),
    Fault(
        "STATUS where one is taken off",
        "taken off",
        swap(b"URL:", b"STATUS:CANCELLED\r\nURL:"),
        "vobject",
    ),
    Fault(
        "STATUS:CONFIRMED in a cancellation",
        "called off",
        swap(b"STATUS:CANCELLED", b"STATUS:CONFIRMED"),
    ),
    Fault(
        "no STATUS where all is off", "called off", swap(b"STATUS:CANCELLED\r\n", b""), "vobject"
    ),
    Fault(
        "a request that is cancelled",
        "invited",
        swap(b"STATUS:CONFIRMED", b"STATUS:CANCELLED"),
        "libical",
    ),
    Fault("a cancellation without SEQUENCE", "called off", swap(b"SEQUENCE:2\r\n", b""), "libical"),
    Fault(
        "SEQUENCE not raised by a cancellation", "called off", swap(b"SEQUENCE:2", b"SEQUENCE:0")
    ),
    Fault("SEQUENCE not raised on a move", "moved", swap(b"SEQUENCE:1", b"SEQUENCE:0"), "vobject"),
    Fault("a new UID on a move", "moved", swap(b"UID:7b6f", b"UID:8b6f"), "vobject"),
    Fault("a second UID", "invited", swap(b"SEQUENCE:0", b"SEQUENCE:0\r\nUID:x")),
    Fault("a UID with a host", "invited", swap(b"1c9e01", b"1c9e01@stones.example")),
    Fault("two METHODs", "invited", swap(b"METHOD:REQUEST", b"METHOD:REQUEST\r\nMETHOD:CANCEL")),
    Fault("METHOD missing", "invited", swap(b"METHOD:REQUEST\r\n", b"")),
    Fault("PUBLISH for REQUEST", "invited", swap(b"METHOD:REQUEST", b"METHOD:PUBLISH"), "libical"),
    Fault("no PRODID", "invited", cut(rb"PRODID[^\r]*\r\n")),
    Fault("no VERSION", "invited", swap(b"VERSION:2.0\r\n", b"")),
    Fault("no DTSTAMP", "invited", cut(rb"DTSTAMP[^\r]*\r\n")),
    Fault("DTEND and DURATION", "invited", swap(b"URL:", b"DURATION:PT3H\r\nURL:")),
    Fault("SEQUENCE is a word", "invited", swap(b"SEQUENCE:0", b"SEQUENCE:none")),
    Fault("no end of the event", "invited", swap(b"END:VEVENT\r\n", b"")),
    Fault(
        "an attendee in a feed", "feed", swap(b"URL:", b"ATTENDEE:mailto:a@mail.example\r\nURL:")
    ),
]


def reported(fault_seen_by: str, octets: bytes, expect: Mapping[str, Any]) -> list[str]:
    """Return what one check reports."""
    if fault_seen_by == "octets":
        return faults(octets)
    read = libical.read if fault_seen_by == "libical" else vobject_reader.read
    return differences(read(octets), expect)


def test_the_faults_are_named_apart() -> None:
    assert len({fault.name for fault in FAULTS}) == len(FAULTS) >= 20


@pytest.mark.parametrize("base", BASES)
def test_right_octets_are_reported_by_no_check(base: str) -> None:
    octets, expect = BASES[base]
    assert reported("octets", octets, expect) == []
    assert reported("vobject", octets, expect) == []


@pytest.mark.service
@pytest.mark.parametrize("base", BASES)
def test_right_octets_are_not_reported_by_libical(base: str) -> None:
    octets, expect = BASES[base]
    assert reported("libical", octets, expect) == []


@pytest.mark.parametrize(
    "fault",
    [
        pytest.param(
            fault,
            id=fault.name,
            marks=[pytest.mark.service] if fault.seen_by == "libical" else [],
        )
        for fault in FAULTS
    ],
)
def test_a_deliberate_fault_is_reported(fault: Fault) -> None:
    octets, expect = BASES[fault.base]
    spoiled = fault.spoil(octets)
    assert spoiled != octets
    assert reported(fault.seen_by, spoiled, expect)
