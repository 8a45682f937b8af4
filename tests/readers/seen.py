"""What a reader saw in a calendar, and how it differs from what it had to see."""

import itertools
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

# "present" and "absent" are looked for in the octets.
OTHER_EXPECTATIONS = {"method", "events", "must_not_have", "present", "absent"}
COUNTER = itertools.count(1)


@dataclass(frozen=True, kw_only=True)
class SeenEvent:
    """One event as a reader shows it; moments as 20260509T130000Z, None where it shows none."""

    uid: str
    sequence: int | None
    start_utc: str
    end_utc: str
    summary: str
    description: str
    location: str
    comment: str
    status: str | None
    organizer_email: str | None
    organizer_name: str | None
    attendee_email: str | None
    attendee_name: str | None
    partstat: str | None
    rsvp: str | None
    names: frozenset[str]


@dataclass(frozen=True, kw_only=True)
class Seen:
    """A whole calendar as a reader shows it; `complaints` in the reader's own words."""

    method: str | None
    events: list[SeenEvent]
    complaints: list[str] = field(default_factory=list)


Reader = Callable[[bytes], Seen]


def masked(octets: bytes) -> bytes:
    """Give every zone of the calendar a name that no reader knows.

    Else a reader with a zone table of its own never looks at our VTIMEZONE. A new name
    each time: one reader keeps the first definition of a name for the whole process.
    """
    for name in sorted(set(re.findall(rb"(?m)^TZID:([^\r]+)", octets))):
        unknown = b"Zone-%d" % next(COUNTER)
        octets = octets.replace(b"TZID:" + name, b"TZID:" + unknown)
        octets = octets.replace(b"TZID=" + name, b"TZID=" + unknown)
    return octets


def differences(seen: Seen, expect: Mapping[str, Any]) -> list[str]:
    """Return a sentence for everything that a reader saw otherwise than expected."""
    _refuse_unknown(expect)
    found = [f"complains: {complaint}" for complaint in seen.complaints]
    if "method" in expect and seen.method != expect["method"]:
        found.append(f"METHOD is {seen.method!r}")
    wanted = expect.get("events", [expect])
    if len(wanted) != len(seen.events):
        return [*found, f"{len(seen.events)} events instead of {len(wanted)}"]
    for event, values in zip(seen.events, wanted, strict=True):
        found += _event_differences(event, values)
    return found


def _refuse_unknown(expect: Mapping[str, Any]) -> None:
    """Refuse an expectation that nothing looks at: a slip of the pen would pass unseen."""
    unknown = set(expect) - set(SeenEvent.__dataclass_fields__) - OTHER_EXPECTATIONS
    if unknown:
        raise KeyError(f"Expected, but never looked at: {sorted(unknown)}")


def _event_differences(event: SeenEvent, expect: Mapping[str, Any]) -> list[str]:
    found = [
        f"{key} is {getattr(event, key)!r}, not {value!r}"
        for key, value in expect.items()
        if key in SeenEvent.__dataclass_fields__ and getattr(event, key) != value
    ]
    found += [f"has {name}" for name in expect.get("must_not_have", ()) if name in event.names]
    if event.end_utc <= event.start_utc:
        found.append(f"ends at {event.end_utc}, not after its start")
    return found
