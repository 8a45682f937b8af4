"""Whatever people type: written and read back it is the same, less what no calendar carries."""

from datetime import UTC, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coordinator import ics
from coordinator.ics.text import clean, clean_calendar_name, clean_line, clean_name
from tests.coordinator.ics.cases import make_invite
from tests.readers import libical, vobject_reader
from tests.readers.lines import parsed
from tests.readers.octets import faults
from tests.readers.seen import differences

AWKWARD = st.sampled_from(list("\\;,:\"'^nN\r\n\t \u2028\u0085\u000b\x00é石🪦\u202e"))
ANY_TEXT = st.text(st.characters(exclude_categories=()) | AWKWARD, max_size=200)
TITLES = ANY_TEXT.filter(lambda words: bool(clean_line(words)))
ZONES = st.sampled_from(["America/Detroit", "America/Phoenix", "Europe/London"])
MOMENTS = st.datetimes(
    min_value=datetime(2024, 1, 1),  # noqa: DTZ001  # hypothesis adds the zone
    max_value=datetime(2036, 1, 1),  # noqa: DTZ001  # hypothesis adds the zone
    timezones=st.just(UTC),
)
MINUTES = st.integers(min_value=1, max_value=3 * 24 * 60)
INVITES = st.builds(
    lambda start, minutes, **facts: make_invite(
        starts_at=start, ends_at=start + timedelta(minutes=minutes), **facts
    ),
    start=MOMENTS,
    minutes=MINUTES,
    tzid=ZONES,
    uid=st.uuids(),
    sequence=st.integers(min_value=0, max_value=2**31 - 1),
    summary=TITLES,
    description=ANY_TEXT,
    location=ANY_TEXT,
    organizer_name=ANY_TEXT,
    attendee_name=ANY_TEXT,
    partstat=st.sampled_from(ics.Partstat),
    rsvp=st.just(True),
)
READING = settings(max_examples=150, deadline=None)


def expectation(invite: ics.Invite) -> dict[str, Any]:
    """Return what a reader must see: the facts, less what no calendar carries."""
    return {
        "uid": str(invite.uid),
        "sequence": invite.sequence,
        "start_utc": f"{invite.starts_at:%Y%m%dT%H%M%SZ}",
        "end_utc": f"{invite.ends_at:%Y%m%dT%H%M%SZ}",
        "summary": clean_line(invite.summary),
        "description": clean(invite.description),
        "location": clean_line(invite.location),
        "organizer_name": clean_name(invite.organizer_name) or None,
        "attendee_name": clean_name(invite.attendee_name) or None,
        "partstat": invite.partstat.value,
        "attendee_email": invite.attendee_email,
    }


@READING
@given(INVITES)
def test_the_octets_of_any_invitation_are_without_fault(invite: ics.Invite) -> None:
    assert faults(ics.request(invite)) == []


@READING
@given(INVITES)
def test_any_invitation_read_line_by_line_equals_the_facts(invite: ics.Invite) -> None:
    (event,) = parsed(ics.request(invite)).inner("VEVENT")
    (attendee,) = event.every("ATTENDEE")
    wanted = expectation(invite)
    for name in ("SUMMARY", "DESCRIPTION", "LOCATION"):
        seen = event.every(name)
        assert (seen[0].text if seen else "") == wanted[name.lower()]
    assert event.value("UID") == wanted["uid"]
    assert event.value("SEQUENCE") == str(wanted["sequence"])
    assert attendee.parameters.get("CN") == wanted["attendee_name"]


@READING
@given(INVITES)
def test_any_invitation_read_by_vobject_equals_the_facts(invite: ics.Invite) -> None:
    assert differences(vobject_reader.read(ics.request(invite)), expectation(invite)) == []


@pytest.mark.service
@READING
@given(INVITES)
def test_any_invitation_read_by_libical_equals_the_facts(invite: ics.Invite) -> None:
    assert differences(libical.read(ics.request(invite)), expectation(invite)) == []


@READING
@given(ANY_TEXT.filter(lambda words: bool(clean_calendar_name(words))), ANY_TEXT)
def test_any_name_of_a_feed_stays_on_its_line(name: str, description: str) -> None:
    feed = ics.Feed(name=name, description=description, source="https://stones.example/days.ics")
    octets = ics.published([], tzid="America/Detroit", year=2026, feed=feed)
    assert faults(octets) == []
    names = [found.name for found in parsed(octets).properties]
    assert len(names) == len(set(names))
    assert {"METHOD", "UID", "ATTENDEE"}.isdisjoint(names)


@READING
@given(MOMENTS, ZONES)
def test_a_moment_keeps_its_instant_in_every_form(moment: datetime, tzid: str) -> None:
    from_utc = ics.request(make_invite(starts_at=moment, ends_at=moment + timedelta(1), tzid=tzid))
    local = moment.astimezone(ZoneInfo(tzid))
    from_zone = ics.request(make_invite(starts_at=local, ends_at=moment + timedelta(1), tzid=tzid))
    assert from_utc == from_zone
