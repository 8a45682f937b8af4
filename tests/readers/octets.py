"""Faults that no reader reports, looked for in the octets themselves.

Each check names its rule. The zone rules are judged by the tz database, not by the
writer. Sources: RFC 5545, RFC 5546, RFC 7986.
"""

import re
from calendar import monthcalendar
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from tests.readers.lines import Block, Property, parsed

TEXTS = ("SUMMARY", "DESCRIPTION", "LOCATION", "COMMENT", "NAME", "X-WR-CALNAME", "X-WR-CALDESC")
DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
ONCE = ("UID", "DTSTAMP", "DTSTART", "SUMMARY", "SEQUENCE")
AT_MOST_ONCE = ("DTEND", "DURATION", "DESCRIPTION", "LOCATION", "STATUS", "ORGANIZER", "URL", "GEO")
# Property: how many (RFC 5546 sections 3.2.2 and 3.2.5; without METHOD: RFC 5545 section 3.8.4.1)
PEOPLE: dict[str | None, tuple[int, int]] = {"REQUEST": (1, 1), "CANCEL": (1, 1), None: (0, 0)}
STATES: dict[str | None, set[str | None]] = {
    "REQUEST": {"CONFIRMED", "TENTATIVE"},
    "CANCEL": {None, "CANCELLED"},
    None: {"CONFIRMED", "TENTATIVE", "CANCELLED"},
}
ANSWERS = {"NEEDS-ACTION", "ACCEPTED", "DECLINED", "TENTATIVE"}


def faults(octets: bytes) -> list[str]:
    """Return a sentence for every fault; an empty list for a calendar of ours that is right."""
    found = list(_raw_faults(octets))
    try:
        calendar = parsed(octets)
    except ValueError as refusal:
        return [*found, str(refusal)]
    found += _calendar_faults(calendar)
    for zone in calendar.inner("VTIMEZONE"):
        found += _zone_faults(zone)
    for event in calendar.inner("VEVENT"):
        found += _event_faults(event)
        found += _message_faults(event, calendar.value("METHOD"))
    return found


def _raw_faults(octets: bytes) -> Iterator[str]:
    """RFC 5545 sections 3.1 (lines, folds), 3.1.4 (UTF-8), 3.3.11 (no controls)."""
    if re.search(rb"[\r\n]", octets.replace(b"\r\n", b"")):
        yield "a line ends otherwise than in CRLF"
    if octets.startswith(b"\xef\xbb\xbf"):
        yield "a byte order mark"
    for line in octets.split(b"\r\n"):
        if len(line) > 75:
            yield f"a line of {len(line)} octets"
        if re.search(rb"[\x00-\x08\x0a-\x1f\x7f]", line):
            yield "a control octet"
        try:
            line.decode()
        except UnicodeDecodeError:
            yield "a line that is no UTF-8"
    if re.search("[\u0080-\u009f\u2028\u2029]", octets.decode("utf-8", "replace")):
        yield "a character that some reader takes for a line end"


def _calendar_faults(calendar: Block) -> Iterator[str]:
    for name in ("PRODID", "VERSION"):  # RFC 5545 section 3.6
        if len(calendar.every(name)) != 1:
            yield f"{name} not exactly once"
    if not calendar.blocks:
        yield "no component at all"  # RFC 5545 section 3.6
    if calendar.every("UID"):
        yield "a UID on the calendar"  # one synchroniser takes it for the entry's
    if len(calendar.every("METHOD")) > 1:
        yield "METHOD more than once"  # RFC 5545 section 3.6
    for name in ("REFRESH-INTERVAL", "SOURCE"):  # RFC 7986 sections 5.7 and 5.8
        if any("VALUE" not in found.parameters for found in calendar.every(name)):
            yield f"{name} without VALUE"
    yield from _definition_faults(calendar)
    yield from _text_faults(calendar)


def _definition_faults(calendar: Block) -> Iterator[str]:
    """One VTIMEZONE for each TZID: RFC 5545 section 3.2.19."""
    used = {
        found.parameters["TZID"]
        for event in calendar.inner("VEVENT")
        for found in event.properties
        if "TZID" in found.parameters
    }
    defined = [zone.value("TZID") for zone in calendar.inner("VTIMEZONE")]
    for name in sorted(used - set(defined)):
        yield f"no VTIMEZONE for {name}"
    if len(defined) != len(set(defined)):
        yield "a zone defined twice"


def _text_faults(block: Block) -> Iterator[str]:
    """RFC 5545 section 3.3.11: backslash, comma, semicolon are escaped, nothing else is."""
    for found in block.properties:
        plain = re.sub(r"\\[\\;,nN]", "", found.value)
        if found.name in TEXTS and re.search(r"[\\;,]", plain):
            yield f"{found.name} not escaped"


def _zone_faults(zone: Block) -> Iterator[str]:
    """RFC 5545 section 3.6.5; no lists of dates, which big clients misread."""
    observances = zone.inner("STANDARD") + zone.inner("DAYLIGHT")
    if not observances:
        yield "a zone without STANDARD and DAYLIGHT"
    for observance in observances:
        names = ("DTSTART", "TZOFFSETFROM", "TZOFFSETTO")
        if any(len(observance.every(name)) != 1 for name in names):
            yield "DTSTART, TZOFFSETFROM or TZOFFSETTO not exactly once"
        elif observance.every("RDATE"):
            yield "RDATE in a zone"
        else:
            yield from _onset_faults(observance, zone.value("TZID") or "")


def _onset_faults(observance: Block, tzid: str) -> Iterator[str]:
    """Each onset is wall clock in the offset before it, and a change of the real zone."""
    before, after = observance.value("TZOFFSETFROM") or "", observance.value("TZOFFSETTO") or ""
    if before == after:
        return
    for wall in _onsets(observance):
        onset = wall - _offset(before)
        seconds = [onset - timedelta(seconds=1), onset]
        real = [at.astimezone(ZoneInfo(tzid)).utcoffset() for at in seconds]
        if real != [_offset(before), _offset(after)]:
            yield f"{tzid} does not change from {before} to {after} at {wall:%Y%m%dT%H%M%S}"


def _onsets(observance: Block) -> Iterator[datetime]:
    """Yield the first onset, and those of its yearly rule until 2036 (RFC 5545 section 3.3.10)."""
    start = observance.value("DTSTART") or ""
    first = datetime.strptime(start, "%Y%m%dT%H%M%S").replace(tzinfo=UTC)
    yield first
    rule = dict(part.split("=") for part in (observance.value("RRULE") or "x=").split(";"))
    if "BYDAY" in rule:
        nth, weekday = int(rule["BYDAY"][:-2]), DAYS.index(rule["BYDAY"][-2:])
        for year in range(first.year, 2037):
            weeks = [week[weekday] for week in monthcalendar(year, int(rule["BYMONTH"]))]
            day = [day for day in weeks if day][nth - 1 if nth > 0 else nth]
            yield first.replace(year=year, day=day)


def _offset(written: str) -> timedelta:
    match = re.fullmatch(r"([+-])(\d\d)(\d\d)(\d\d)?", written)
    if not match:
        return timedelta(days=99)
    sign, hours, minutes, seconds = match.groups(default="0")
    size = timedelta(hours=int(hours), minutes=int(minutes), seconds=int(seconds))
    return -size if sign == "-" else size


def _event_faults(event: Block) -> Iterator[str]:
    """Return faults of one VEVENT whatever the message: its counts, values, texts, people."""
    yield from _count_faults(event)
    yield from _value_faults(event)
    for found in event.every("DTSTART") + event.every("DTEND"):
        yield from _time_faults(found)
    yield from _text_faults(event)
    yield from _address_faults(event)


def _count_faults(event: Block) -> Iterator[str]:
    """RFC 5545 section 3.6.1."""
    for name in ONCE:
        if len(event.every(name)) != 1:
            yield f"{name} not exactly once"
    for name in AT_MOST_ONCE:
        if len(event.every(name)) > 1:
            yield f"{name} more than once"
    if event.every("DTEND") and event.every("DURATION"):
        yield "DTEND and DURATION"


def _value_faults(event: Block) -> Iterator[str]:
    if not re.fullmatch(r"\d{8}T\d{6}Z", event.value("DTSTAMP") or ""):
        yield "DTSTAMP not in UTC"  # RFC 5545 section 3.8.7.2
    if not _is_uuid(event.value("UID") or ""):
        yield "UID is no UUID"  # RFC 7986 section 5.3
    if not re.fullmatch(r"\d{1,10}", event.value("SEQUENCE") or ""):
        yield "SEQUENCE is no number"  # RFC 5545 section 3.8.7.4


def _is_uuid(written: str) -> bool:
    try:
        return str(UUID(written)) == written
    except ValueError:
        return False


def _time_faults(found: Property) -> Iterator[str]:
    """RFC 5545 sections 3.2.19 and 3.3.5: UTC, or local with a TZID and without doubt."""
    tzid = found.parameters.get("TZID")
    if re.fullmatch(r"\d{8}T\d{6}Z", found.value):
        if tzid:
            yield f"{found.name} in UTC with a TZID"
    elif not re.fullmatch(r"\d{8}T\d{6}", found.value) or not tzid:
        yield f"{found.name} neither in UTC nor with a TZID"
    else:
        wall = datetime.strptime(found.value, "%Y%m%dT%H%M%S").replace(tzinfo=ZoneInfo(tzid))
        if wall.utcoffset() != wall.replace(fold=1).utcoffset():
            yield f"{found.name} {found.value} happens twice or never"


def _address_faults(event: Block) -> Iterator[str]:
    """RFC 5545 section 3.3.3, 3.8.4.1 and 3.8.4.3; RFC 5545 section 3.2.12 and 3.2.17."""
    for found in event.every("ORGANIZER") + event.every("ATTENDEE"):
        if not re.fullmatch(r"mailto:[^@\s]+@[^@\s]+", found.value):
            yield f"{found.name} is no mailto: address"
        if found.parameters.get("PARTSTAT", "NEEDS-ACTION") not in ANSWERS:
            yield "an unknown PARTSTAT"
        if found.parameters.get("RSVP", "TRUE") not in {"TRUE", "FALSE"}:
            yield "an RSVP that is neither TRUE nor FALSE"
        if re.search(r"[\\^]", found.parameters.get("CN", "")):
            yield "a name that not every reader understands"


def _message_faults(event: Block, method: str | None) -> Iterator[str]:
    """What each kind of message holds: RFC 5546 sections 3.2.1, 3.2.2 and 3.2.5."""
    if method not in PEOPLE:
        yield f"METHOD:{method} is none of ours"
        return
    counts = (len(event.every("ORGANIZER")), len(event.every("ATTENDEE")))
    if counts != PEOPLE[method]:
        yield f"{counts[0]} organizers and {counts[1]} attendees"
    if event.value("STATUS") not in STATES[method]:
        yield f"STATUS:{event.value('STATUS')} in {method}"
    if event.inner("VALARM"):
        yield "an alarm"  # forbidden in CANCEL, and reminders of ours go by mail
    if method == "CANCEL" and event.value("SEQUENCE") == "0":
        yield "a CANCEL that did not raise SEQUENCE"  # RFC 5546 section 2.1.4
    for name in {"RECURRENCE-ID", "REQUEST-STATUS", "RRULE", "METHOD"} & event.names:
        yield f"{name} in the event"
    if method == "REQUEST" and event.every("ATTENDEE"):
        yield from _question_faults(event.every("ATTENDEE")[0])


def _question_faults(attendee: Property) -> Iterator[str]:
    """An open answer is asked for, or clients show no buttons (RFC 5546 section 3.2.2)."""
    asked = attendee.parameters.get("RSVP", "FALSE") == "TRUE"
    if attendee.parameters.get("PARTSTAT", "NEEDS-ACTION") == "NEEDS-ACTION" and not asked:
        yield "an open answer that is not asked for"
