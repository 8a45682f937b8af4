"""Read a calendar with libical, a C library, through ctypes.

It judges syntax, evaluates our VTIMEZONE, and checks which properties a REQUEST, a
CANCEL and a PUBLISH must and must not have (the tables of RFC 5546 section 3.2).
Needs Debian's libical3 (3.0; the layout of its time structure is of that version).
"""

import ctypes
from collections.abc import Callable, Iterator
from ctypes import c_char_p, c_int, c_void_p
from functools import cache
from typing import Any
from urllib.parse import unquote

from tests.readers.seen import Seen, SeenEvent, masked

MISSING = "libical is missing; type: sudo apt-get install --yes --no-install-recommends libical3"
ANY_PROPERTY = 0


class Time(ctypes.Structure):
    """The time structure of libical 3.0."""

    _fields_ = [
        ("year", c_int),
        ("month", c_int),
        ("day", c_int),
        ("hour", c_int),
        ("minute", c_int),
        ("second", c_int),
        ("is_date", c_int),
        ("is_daylight", c_int),
        ("zone", c_void_p),
    ]


SIGNATURES: dict[str, tuple[Any, list[Any]]] = {
    "icalparser_parse_string": (c_void_p, [c_char_p]),
    "icalcomponent_free": (None, [c_void_p]),
    "icalcomponent_count_errors": (c_int, [c_void_p]),
    "icalrestriction_check": (c_int, [c_void_p]),
    "icalcomponent_string_to_kind": (c_int, [c_char_p]),
    "icalproperty_string_to_kind": (c_int, [c_char_p]),
    "icalcomponent_get_first_component": (c_void_p, [c_void_p, c_int]),
    "icalcomponent_get_next_component": (c_void_p, [c_void_p, c_int]),
    "icalcomponent_get_first_property": (c_void_p, [c_void_p, c_int]),
    "icalcomponent_get_next_property": (c_void_p, [c_void_p, c_int]),
    "icalproperty_get_property_name": (c_char_p, [c_void_p]),
    "icalproperty_get_value_as_string": (c_char_p, [c_void_p]),
    "icalproperty_get_parameter_as_string": (c_char_p, [c_void_p, c_char_p]),
    "icalproperty_get_value": (c_void_p, [c_void_p]),
    "icalvalue_get_text": (c_char_p, [c_void_p]),
    "icalcomponent_get_dtstart": (Time, [c_void_p]),
    "icalcomponent_get_dtend": (Time, [c_void_p]),
    "icaltimezone_get_utc_timezone": (c_void_p, []),
    "icaltime_convert_to_zone": (Time, [Time, c_void_p]),
    "icaltime_as_ical_string": (c_char_p, [Time]),
    "icalerror_set_errors_are_fatal": (None, [c_int]),
}


@cache
def _library() -> ctypes.CDLL:
    try:
        library = ctypes.CDLL("libical.so.3")
    except OSError as missing:
        raise RuntimeError(MISSING) from missing
    for name, (result, arguments) in SIGNATURES.items():
        function = getattr(library, name)
        function.restype, function.argtypes = result, arguments
    library.icalerror_set_errors_are_fatal(0)
    return library


def read(octets: bytes) -> Seen:
    """Return what libical sees; its complaints include the tables of RFC 5546."""
    library = _library()
    root = library.icalparser_parse_string(masked(octets))
    if not root:
        return Seen(method=None, events=[], complaints=["nothing could be read"])
    try:
        return _seen(library, root)
    finally:
        library.icalcomponent_free(root)


def _seen(library: ctypes.CDLL, root: int) -> Seen:
    passed = library.icalrestriction_check(root)
    complaints = [_value(library, error) for error in _errors(library, root)]
    if not passed or library.icalcomponent_count_errors(root):
        complaints.append("the check of restrictions failed")
    methods = list(_properties(library, root, b"METHOD"))
    return Seen(
        method=_value(library, methods[0]) if methods else None,
        events=[_event(library, event) for event in _components(library, root, b"VEVENT")],
        complaints=complaints,
    )


def _event(library: ctypes.CDLL, event: int) -> SeenEvent:
    properties = {_name(library, found): found for found in _properties(library, event)}

    def text(name: str) -> str:
        if name not in properties:
            return ""
        value = library.icalvalue_get_text(library.icalproperty_get_value(properties[name]))
        return (value or b"").decode("utf-8", "replace")

    def value(name: str) -> str | None:
        return _value(library, properties[name]) if name in properties else None

    def parameter(name: str, parameter: bytes) -> str | None:
        found = properties.get(name)
        if found is None:
            return None
        given = library.icalproperty_get_parameter_as_string(found, parameter)
        return given.decode().strip('"') if given else None

    sequence = value("SEQUENCE")
    return SeenEvent(
        uid=text("UID"),
        sequence=int(sequence) if sequence is not None else None,
        start_utc=_utc(library, library.icalcomponent_get_dtstart(event)),
        end_utc=_utc(library, library.icalcomponent_get_dtend(event)),
        summary=text("SUMMARY"),
        description=text("DESCRIPTION"),
        location=text("LOCATION"),
        comment=text("COMMENT"),
        status=value("STATUS"),
        organizer_email=_mailbox(value("ORGANIZER")),
        organizer_name=parameter("ORGANIZER", b"CN"),
        attendee_email=_mailbox(value("ATTENDEE")),
        attendee_name=parameter("ATTENDEE", b"CN"),
        partstat=parameter("ATTENDEE", b"PARTSTAT"),
        rsvp=parameter("ATTENDEE", b"RSVP"),
        names=frozenset(properties),
    )


def _mailbox(uri: str | None) -> str | None:
    return unquote(uri.removeprefix("mailto:")) if uri is not None else None


def _utc(library: ctypes.CDLL, moment: Time) -> str:
    there = library.icaltime_convert_to_zone(moment, library.icaltimezone_get_utc_timezone())
    written: bytes = library.icaltime_as_ical_string(there)
    return written.decode()


def _name(library: ctypes.CDLL, found: int) -> str:
    name: bytes = library.icalproperty_get_property_name(found)
    return name.decode()


def _value(library: ctypes.CDLL, found: int) -> str:
    value: bytes | None = library.icalproperty_get_value_as_string(found)
    return (value or b"").decode("utf-8", "replace")


def _errors(library: ctypes.CDLL, component: int) -> Iterator[int]:
    yield from _properties(library, component, b"X-LIC-ERROR")
    for inner in _components(library, component, b"ANY"):
        yield from _errors(library, inner)


def _properties(library: ctypes.CDLL, component: int, name: bytes = b"") -> Iterator[int]:
    kind = library.icalproperty_string_to_kind(name) if name else ANY_PROPERTY
    first, following = (
        library.icalcomponent_get_first_property,
        library.icalcomponent_get_next_property,
    )
    return _each(first, following, component, kind)


def _components(library: ctypes.CDLL, component: int, name: bytes) -> Iterator[int]:
    kind = library.icalcomponent_string_to_kind(name)
    first, following = (
        library.icalcomponent_get_first_component,
        library.icalcomponent_get_next_component,
    )
    return _each(first, following, component, kind)


def _each(
    first: Callable[..., int], following: Callable[..., int], component: int, kind: int
) -> Iterator[int]:
    """Yield all at once: libical keeps one place per component, which a walk inside moves."""
    found = []
    item = first(component, kind)
    while item:
        found.append(item)
        item = following(component, kind)
    yield from found
