"""Our VTIMEZONE, evaluated by readers that know no other, against the tz database."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

import pytest

from coordinator import ics
from coordinator.ics import zone
from tests.coordinator.ics.cases import READERS, make_public_day
from tests.readers.lines import parsed
from tests.readers.octets import faults
from tests.readers.seen import Reader

# With two changes a year, none, half an hour, a rule that no nth weekday says, a moving month.
ZONES = [
    "America/Detroit",
    "America/Phoenix",
    "America/St_Johns",
    "America/Santiago",
    "America/Sao_Paulo",
    "Europe/London",
    "Europe/Dublin",
    "Australia/Sydney",
    "Australia/Lord_Howe",
    "Asia/Jerusalem",
    "Asia/Kathmandu",
    "Africa/Casablanca",
    "Pacific/Chatham",
]


def moments() -> Iterator[datetime]:
    """Yield a moment every 53 hours of 2026 to 2028: every hour of the day comes up."""
    moment = datetime(2026, 1, 1, tzinfo=UTC)
    while moment.year < 2029:
        yield moment
        moment += timedelta(hours=53)


@pytest.mark.parametrize("read", READERS)
@pytest.mark.parametrize("tzid", ZONES)
def test_a_reader_with_our_zone_alone_finds_every_moment(read: Reader, tzid: str) -> None:
    days = [
        make_public_day(
            uid=UUID(int=number),
            starts_at=moment,
            ends_at=moment + timedelta(hours=3),
            tzid=tzid,
        )
        for number, moment in enumerate(moments())
    ]
    found = read(ics.published(days, tzid=tzid, year=2026))
    assert found.complaints == []
    wanted = [f"{day.starts_at:%Y%m%dT%H%M%SZ}" for day in days]
    assert [event.start_utc for event in found.events] == wanted


@pytest.mark.parametrize("tzid", ZONES)
def test_every_onset_is_a_change_of_the_real_zone(tzid: str) -> None:
    """RFC 5545 section 3.6.5: wall clock in the offset before the change."""
    octets = ics.published([make_public_day(tzid=tzid)], tzid=tzid, year=2026)
    assert faults(octets) == []


@pytest.mark.parametrize(
    ("tzid", "spring", "autumn"),
    [
        # Energy Policy Act of 2005, section 110: from 2007, second Sunday of March 02:00 to
        # first Sunday of November 02:00.
        ("America/Detroit", ("20070311T020000", "2SU"), ("20071104T020000", "1SU")),
        # Directive 2000/84/EC and the seventh one before it: since 1996, 01:00 GMT, last Sundays.
        ("Europe/London", ("19960331T010000", "-1SU"), ("19961027T020000", "-1SU")),
    ],
)
def test_two_rules_from_the_first_year_of_the_law(
    tzid: str, spring: tuple[str, str], autumn: tuple[str, str]
) -> None:
    octets = ics.published([make_public_day(tzid=tzid)], tzid=tzid, year=2026)
    (block,) = parsed(octets).inner("VTIMEZONE")
    for name, (start, weekday) in {"DAYLIGHT": spring, "STANDARD": autumn}.items():
        (observance,) = block.inner(name)
        assert observance.value("DTSTART") == start
        assert f"BYDAY={weekday}" in (observance.value("RRULE") or "")


def test_a_zone_in_utc_needs_no_definition() -> None:
    octets = ics.published([make_public_day(tzid="Etc/UTC")], tzid="Etc/UTC", year=2026)
    assert b"VTIMEZONE" not in octets
    assert faults(octets) == []


def test_a_skipped_time_is_moved_forward_whatever_its_fold() -> None:
    """RFC 5545 section 3.3.5: with the offset before the gap."""
    skipped = datetime(2026, 3, 8, 2, 30, tzinfo=ZoneInfo("America/Detroit"))
    forward = datetime(2026, 3, 8, 7, 30, tzinfo=UTC)
    assert zone.instant(skipped) == forward
    assert zone.instant(skipped.replace(fold=1)) == forward


def test_several_zones_are_all_defined_and_each_once() -> None:
    days = [
        make_public_day(uid=UUID(int=number), tzid=tzid)
        for number, tzid in enumerate(["Europe/London", "America/Detroit", "Europe/London"])
    ]
    octets = ics.published(days, tzid="America/Detroit", year=2026)
    assert octets.count(b"BEGIN:VTIMEZONE") == 2
    assert faults(octets) == []


def test_an_unknown_zone_is_refused() -> None:
    for tzid in ("Hollin/County", "../../etc/passwd", "", "America"):
        with pytest.raises(ValueError, match="Unknown time zone"):
            zone.named(tzid)
