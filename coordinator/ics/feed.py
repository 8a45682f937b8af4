"""Days for everybody: a feed to subscribe to, or one day to download.

A snapshot without METHOD, and never an ATTENDEE: published data names nobody
(RFC 5545 sections 3.7.2 and 3.8.4.1, RFC 5546 section 3.2.1).
"""

from collections.abc import Sequence
from datetime import timedelta

from icalendar import Calendar, Event

from coordinator.ics import zone
from coordinator.ics.event import add_text, calendar, describe, event, written
from coordinator.ics.facts import Feed, PublicDay
from coordinator.ics.text import clean, clean_calendar_name, web_address

CALLED_OFF = "Called off: "


def published(
    days: Sequence[PublicDay], *, tzid: str, year: int, feed: Feed | None = None
) -> bytes:
    """Return the days as one calendar, in the order given.

    With `feed` also what a subscriber needs to know; without it a plain download.
    An empty list gives the zone of `tzid` in `year` alone, for a calendar must hold
    at least one component (RFC 5545 section 3.6). Called-off days stay in, marked;
    the caller drops them after some weeks.
    """
    whole = calendar()
    if feed:
        _add_feed(whole, feed)
        if days:
            whole.add("LAST-MODIFIED", max(zone.instant(day.dtstamp) for day in days))
    if not days:
        whole.add_component(zone.component(tzid, first_year=year, last_year=year))
    return written(whole, [_day(day) for day in days])


def _day(day: PublicDay) -> Event:
    """Return the VEVENT; the word stands in the title too, for readers that hide STATUS."""
    made = event(day, mark=CALLED_OFF if day.called_off else "")
    describe(made, day)
    made.add("STATUS", "CANCELLED" if day.called_off else "CONFIRMED")
    return made


def _add_feed(whole: Calendar, feed: Feed) -> None:
    """Add the properties of RFC 7986 section 5, and the older X- ones beside them.

    REFRESH-INTERVAL and SOURCE have no default type, so VALUE is written (RFC 7986
    sections 5.7 and 5.8).
    """
    for name in ("NAME", "X-WR-CALNAME"):
        add_text(whole, name, clean_calendar_name(feed.name))
    for name in ("DESCRIPTION", "X-WR-CALDESC"):
        add_text(whole, name, clean(feed.description))
    if feed.page:
        whole.add("URL", web_address(feed.page))
    whole.add("SOURCE", web_address(feed.source), parameters={"VALUE": "URI"})
    refresh = timedelta(hours=feed.refresh_hours)
    whole.add("REFRESH-INTERVAL", refresh, parameters={"VALUE": "DURATION"})
    add_text(whole, "X-PUBLISHED-TTL", f"PT{feed.refresh_hours}H")
