"""Read a calendar with vobject, which evaluates our VTIMEZONE through dateutil.

The one reader here that shows an unescaped comma: it cuts the text there.
"""

from datetime import UTC, datetime
from typing import Any
from urllib.parse import unquote

import vobject

from tests.readers.seen import Seen, SeenEvent, masked


def read(octets: bytes) -> Seen:
    """Return what vobject sees; what it cannot read is one complaint."""
    try:
        calendar = vobject.readOne(masked(octets).decode("utf-8"))
        calendar.validate(raiseException=True)
    except Exception as refusal:  # noqa: BLE001  # whatever it raises is its opinion
        return Seen(method=None, events=[], complaints=[f"{type(refusal).__name__}: {refusal}"])
    return Seen(
        method=calendar.method.value if "method" in calendar.contents else None,
        events=[_event(event) for event in calendar.contents.get("vevent", [])],
    )


def _event(event: Any) -> SeenEvent:
    def value(name: str) -> Any:
        return event.contents[name][0].value if name in event.contents else None

    def address(name: str) -> str | None:
        found = value(name)
        return unquote(found.removeprefix("mailto:")) if found is not None else None

    def parameter(name: str, parameter: str) -> str | None:
        given = event.contents[name][0].params.get(parameter) if name in event.contents else None
        return given[0] if given else None

    return SeenEvent(
        uid=value("uid"),
        sequence=int(value("sequence")) if value("sequence") is not None else None,
        start_utc=_utc(value("dtstart")),
        end_utc=_utc(value("dtend")),
        summary=value("summary") or "",
        description=value("description") or "",
        location=value("location") or "",
        comment=value("comment") or "",
        status=value("status"),
        organizer_email=address("organizer"),
        organizer_name=parameter("organizer", "CN"),
        attendee_email=address("attendee"),
        attendee_name=parameter("attendee", "CN"),
        partstat=parameter("attendee", "PARTSTAT"),
        rsvp=parameter("attendee", "RSVP"),
        names=frozenset(name.upper() for name in event.contents),
    )


def _utc(moment: Any) -> str:
    """Return a moment in UTC; a floating time or a date shows as what it is."""
    if not isinstance(moment, datetime):
        return f"date {moment}"
    if moment.tzinfo is None:
        return f"floating {moment}"
    return moment.astimezone(UTC).strftime("%Y%m%dT%H%M%SZ")
