"""The life of one invitation, message by message: RFC 5546 section 2.1.4 decides SEQUENCE."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from coordinator import ics
from tests.coordinator.ics.cases import READERS, make_invite, make_public_day
from tests.readers.octets import faults
from tests.readers.seen import Reader, SeenEvent

WEEK = timedelta(days=7)

# As the service sends them: place confirmed on the site, wording, rain date, over.
FIRST = make_invite(partstat=ics.Partstat.ACCEPTED, rsvp=False)
REWORDED = replace(
    FIRST, summary="Cleaning day (bring gloves)", dtstamp=datetime(2026, 4, 2, 12, tzinfo=UTC)
)
MOVED = replace(
    REWORDED,
    sequence=1,
    starts_at=FIRST.starts_at + WEEK,
    ends_at=FIRST.ends_at + WEEK,
    dtstamp=datetime(2026, 5, 7, 18, tzinfo=UTC),
    partstat=ics.Partstat.NEEDS_ACTION,
    rsvp=True,
)
OVER = replace(MOVED, sequence=2, dtstamp=datetime(2026, 5, 15, 20, tzinfo=UTC))
MESSAGES = {
    "invited": ics.request(FIRST),
    "reworded": ics.request(REWORDED),
    "moved": ics.request(MOVED),
    "taken off": ics.cancel(OVER, whole_day=False),
    "called off": ics.cancel(OVER, whole_day=True, reason="Thunderstorms are forecast."),
}

pytestmark = pytest.mark.parametrize("read", READERS)


def seen(read: Reader, name: str) -> SeenEvent:
    """Return the one event of a message."""
    (event,) = read(MESSAGES[name]).events
    return event


def test_every_message_keeps_the_uid(read: Reader) -> None:
    """RFC 5546 section 2.1.5: the UID is how a later message finds the entry."""
    assert {seen(read, name).uid for name in MESSAGES} == {str(FIRST.uid)}


def test_sequence_rises_with_the_time_and_the_end_but_not_with_wording(read: Reader) -> None:
    """RFC 5546 section 2.1.4."""
    assert [seen(read, name).sequence for name in MESSAGES] == [0, 0, 1, 2, 2]


def test_the_method_says_come_three_times_and_then_cancel(read: Reader) -> None:
    """RFC 5546 sections 3.2.2 and 3.2.5."""
    methods = [read(octets).method for octets in MESSAGES.values()]
    assert methods == ["REQUEST", "REQUEST", "REQUEST", "CANCEL", "CANCEL"]


def test_only_the_end_of_the_whole_entry_has_status_cancelled(read: Reader) -> None:
    """RFC 5546 section 3.2.5: STATUS is absent when only one is taken off."""
    states = [seen(read, name).status for name in MESSAGES]
    assert states == ["CONFIRMED", "CONFIRMED", "CONFIRMED", None, "CANCELLED"]


def test_wording_keeps_the_answer_and_a_move_asks_again(read: Reader) -> None:
    """RFC 5546 section 3.2.2: RSVP asks; PARTSTAT is what is known."""
    answers = [(seen(read, name).partstat, seen(read, name).rsvp) for name in MESSAGES]
    assert answers[:3] == [("ACCEPTED", "FALSE"), ("ACCEPTED", "FALSE"), ("NEEDS-ACTION", "TRUE")]


def test_every_message_is_from_the_organizer_to_the_one_mailbox(read: Reader) -> None:
    """RFC 6047 section 2.3, RFC 5546 section 3.2.5."""
    people = {(seen(read, n).organizer_email, seen(read, n).attendee_email) for n in MESSAGES}
    assert people == {("invites@hollin.example", "ana@mail.example")}


def test_a_cancellation_shows_the_times_to_a_reader_that_saw_no_request(read: Reader) -> None:
    """RFC 5546 section 5.2.1."""
    assert seen(read, "called off").start_utc == seen(read, "moved").start_utc
    assert seen(read, "called off").comment == "Thunderstorms are forecast."


def test_the_octets_of_every_message_are_without_fault(read: Reader) -> None:
    assert [faults(octets) for octets in MESSAGES.values()] == [[]] * len(MESSAGES)
    assert [read(octets).complaints for octets in MESSAGES.values()] == [[]] * len(MESSAGES)


def test_a_move_across_a_change_of_the_clocks_keeps_the_hour(read: Reader) -> None:
    """09:00 on the Saturday before the change, 09:00 on the Sunday: 14:00 and 13:00 UTC."""
    zone = ZoneInfo("America/Detroit")
    days = [datetime(2026, 3, day, 9, tzinfo=zone) for day in (7, 8)]
    times = [
        read(ics.request(make_invite(starts_at=day, ends_at=day + timedelta(hours=2))))
        for day in days
    ]
    starts = [found.events[0].start_utc for found in times]
    assert starts == ["20260307T140000Z", "20260308T130000Z"]


def test_the_public_day_has_an_identity_of_its_own(read: Reader) -> None:
    """RFC 5546 section 2.1.5: one UID would let an invitation overwrite the public entry."""
    day = make_public_day(uid=OVER.uid.__class__(int=1), sequence=1, called_off=True)
    (event,) = read(ics.published([day], tzid=day.tzid, year=2026)).events
    assert event.uid != str(FIRST.uid)
    assert (event.status, event.sequence) == ("CANCELLED", 1)
    assert event.summary == "Called off: Cleaning day at Alder Hill"
