"""The parts that invitations and feeds have in common: one VEVENT, one VCALENDAR."""

from collections.abc import Iterable

from icalendar import Calendar, Component, Event, Timezone
from icalendar.prop import vInline

from coordinator.ics import zone
from coordinator.ics.facts import Entry
from coordinator.ics.text import clean, clean_line, escaped, web_address

PRODID = "-//Stone days//1.0//EN"


def calendar(method: str = "") -> Calendar:
    """Return an empty VCALENDAR.

    Without a UID of its own, which RFC 7986 section 5.3 allows: a feed that has one
    is folded into a single entry by a widely used synchroniser.
    """
    made = Calendar()
    made.add("PRODID", PRODID)
    made.add("VERSION", "2.0")
    if method:
        made.add("METHOD", method)
    return made


def event(entry: Entry, *, mark: str = "") -> Event:
    """Return the VEVENT with everything but people and state (RFC 5545 section 3.6.1).

    `mark` goes before the title.
    """
    made = Event()
    made.add("UID", str(entry.uid))
    made.add("SEQUENCE", entry.sequence)
    made.add("DTSTAMP", zone.instant(entry.dtstamp))
    made.add("DTSTART", zone.as_written(entry.starts_at, entry.tzid))
    made.add("DTEND", zone.as_written(entry.ends_at, entry.tzid))
    add_text(made, "SUMMARY", mark + clean_line(entry.summary))
    _add_place(made, entry)
    if entry.url:
        made.add("URL", web_address(entry.url))
    return made


def describe(made: Event, entry: Entry) -> None:
    """Add the long text, which a cancellation leaves out."""
    add_text(made, "DESCRIPTION", clean(entry.description))


def add_text(made: Component, name: str, words: str) -> None:
    r"""Add a clean text; nothing when it is empty, for a reader calls an empty one broken.

    Escaped here: icalendar turns a typed backslash and N ("C:\New") into a line break,
    and escapes NAME and X- properties not at all.
    """
    if words:
        made[name] = vInline(escaped(words))


def written(whole: Calendar, events: Iterable[Event]) -> bytes:
    """Return the octets of a calendar: its zones first, then the events.

    One VTIMEZONE for each TZID that is used. Source: RFC 5545 section 3.2.19.
    """
    entries = list(events)
    for block in _zones(entries):
        whole.add_component(block)
    for made in entries:
        whole.add_component(made)
    octets: bytes = whole.to_ical()
    return octets


def _add_place(made: Event, entry: Entry) -> None:
    add_text(made, "LOCATION", clean_line(entry.location))
    if entry.latitude is not None and entry.longitude is not None:
        # Six decimals at most (RFC 5545 section 3.8.1.6), never the form 1e-05.
        made["GEO"] = vInline(f"{entry.latitude:.6f};{entry.longitude:.6f}")


def _zones(events: list[Event]) -> list[Timezone]:
    years: dict[str, set[int]] = {}
    for made in events:
        for name, moment in (("DTSTART", made.start), ("DTEND", made.end)):
            tzid = made[name].params.get("TZID")
            if tzid:
                years.setdefault(tzid, set()).add(moment.year)
    return [
        zone.component(tzid, first_year=min(seen), last_year=max(seen))
        for tzid, seen in sorted(years.items())
    ]
