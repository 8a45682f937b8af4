"""Facts that no calendar could carry are refused; words are made fit before they are written."""

from datetime import UTC, datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest

from coordinator import ics
from coordinator.ics import text
from tests.coordinator.ics.cases import make_invite, make_public_day
from tests.readers.octets import faults

DETROIT = ZoneInfo("America/Detroit")


@pytest.mark.parametrize(
    "wrong",
    [
        {"sequence": -1},
        {"sequence": 2**31},
        {"starts_at": datetime(2026, 5, 9, 9)},  # noqa: DTZ001  # naive on purpose
        {"dtstamp": datetime(2026, 5, 9, 9)},  # noqa: DTZ001  # naive on purpose
        {"ends_at": datetime(2026, 5, 9, 9, tzinfo=DETROIT)},
        {"ends_at": datetime(2026, 5, 9, 9, 0, 0, 5, tzinfo=DETROIT)},
        {"tzid": "Hollin/County"},
        {"summary": ""},
        {"summary": " \x01\r\n"},
        {"latitude": None},
        {"latitude": 90.1},
        {"longitude": float("nan")},
        {"url": "javascript:alert(1)"},
        {"url": "https://stones.example/\r\nATTENDEE:mailto:e@mail.example"},
        {"organizer_email": "Ruth Okafor"},
        {"attendee_email": "ana@mail.example\r\nX-A:1"},
        {"attendee_email": "ana@mail.example,eve@mail.example"},
        {"attendee_email": "añá@mail.example"},
        {"attendee_email": "ana@"},
        {"attendee_email": "ana@.example"},
    ],
)
def test_facts_that_no_calendar_could_carry_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"."):
        make_invite(**wrong)


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": ",;\n"},
        {"source": "stones.example/days.ics"},
        {"page": "ftp://stones.example"},
        {"refresh_hours": 0},
    ],
)
def test_a_feed_that_could_not_be_subscribed_to_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match=r"."):
        ics.Feed(**{"name": "Stones", "source": "https://stones.example/days.ics", **wrong})


def test_a_day_may_end_at_an_earlier_wall_clock_time_when_the_clocks_go_back() -> None:
    """01:45 in daylight time to 01:15 in standard time: half an hour, the same zone object."""
    invite = make_invite(
        starts_at=datetime(2026, 11, 1, 1, 45, tzinfo=DETROIT),
        ends_at=datetime(2026, 11, 1, 1, 15, tzinfo=DETROIT, fold=1),
    )
    octets = ics.request(invite)
    assert b"DTSTART:20261101T054500Z\r\nDTEND:20261101T061500Z\r\n" in octets
    assert b"VTIMEZONE" not in octets
    assert faults(octets) == []


def test_a_cancellation_of_the_first_message_is_refused() -> None:
    """RFC 5546 section 2.1.4: every CANCEL raises SEQUENCE."""
    with pytest.raises(ValueError, match="raised SEQUENCE"):
        ics.cancel(make_invite(sequence=0), whole_day=True)


def test_a_place_has_six_decimals_and_no_exponent() -> None:
    """RFC 5545 section 3.8.1.6."""
    octets = ics.request(make_invite(latitude=0.00001, longitude=-84.12345678))
    assert b"GEO:0.000010;-84.123457\r\n" in octets


def test_what_is_empty_is_left_out() -> None:
    invite = make_invite(
        description="", location="", url="", latitude=None, longitude=None, attendee_name="^"
    )
    octets = ics.request(invite)
    for name in (b"DESCRIPTION", b"LOCATION", b"URL", b"GEO", b"ATTENDEE;CN="):
        assert name not in octets
    assert faults(octets) == []


def test_an_international_domain_is_written_in_ascii() -> None:
    assert text.mailto("ana@bücher.example") == "mailto:ana@xn--bcher-kva.example"
    assert text.mailbox("MAILTO:Ana%26Co@Mail.example") == "ana&co@mail.example"


def test_half_characters_and_turning_marks_do_not_reach_the_octets() -> None:
    octets = ics.request(make_invite(summary="a\ud800b", attendee_name="Ana\u202exe.example"))
    assert b"SUMMARY:ab\r\n" in octets
    assert faults(octets) == []


def test_the_envelope_of_a_message_names_both_mailboxes() -> None:
    seen = ics.envelope(ics.request(make_invite(attendee_email="Ana@Mail.example")))
    assert seen == ics.Envelope("REQUEST", "invites@hollin.example", "ana@mail.example")


def test_a_feed_has_no_envelope() -> None:
    day = make_public_day()
    with pytest.raises(ValueError, match="one event, one organizer"):
        ics.envelope(ics.published([day], tzid=day.tzid, year=2026))


def test_the_octets_of_a_feed_stay_the_same_until_a_day_changes() -> None:
    day = make_public_day()
    changed = make_public_day(dtstamp=datetime(2026, 4, 2, tzinfo=UTC))
    first = ics.published([day], tzid=day.tzid, year=2026)
    assert first == ics.published([day], tzid=day.tzid, year=2026)
    assert first != ics.published([changed], tzid=day.tzid, year=2026)
