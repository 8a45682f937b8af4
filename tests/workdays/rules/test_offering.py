"""Until when an offered place is held."""

from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.offering import SHORTEST, answer_by

ZONE = ZoneInfo("America/New_York")


def at(text: str) -> datetime:
    """Return a moment by the clock in the zone."""
    return datetime.fromisoformat(text).replace(tzinfo=ZONE)


@pytest.mark.parametrize(
    ("now", "until"),
    [
        ("2026-05-01 10:00", "2026-05-02 10:00"),  # eight days ahead: a day
        ("2026-05-07 10:00", "2026-05-07 18:00"),  # 32 hours ahead: a quarter of them
        ("2026-05-08 09:00", "2026-05-08 11:15"),  # the last day: a quarter of nine hours
        ("2026-05-08 13:00", "2026-05-08 15:00"),  # five hours ahead: no less than two hours
        ("2026-05-08 17:00", "2026-05-08 18:00"),  # an hour ahead: until the cut-off
        ("2026-05-06 20:00", "2026-05-07 08:00"),  # 46 hours ahead: 7:30 would be too early
        ("2026-05-07 20:00", "2026-05-08 08:00"),  # at 1:30 people sleep
    ],
)
def test_an_offer_is_open_for_less_time_as_the_cut_off_nears(now: str, until: str) -> None:
    cut_off = at("2026-05-08 18:00")
    assert answer_by(cut_off_at=cut_off, now=at(now), zone=ZONE) == at(until)


def test_a_cut_off_by_night_is_not_passed_by_the_night() -> None:
    cut_off = at("2026-05-08 23:00")
    assert answer_by(cut_off_at=cut_off, now=at("2026-05-08 20:00"), zone=ZONE) == cut_off


@given(
    st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 31)),  # noqa: DTZ001  # made aware below
    st.timedeltas(timedelta(minutes=1), timedelta(days=60)),
)
def test_whenever_it_is_made_an_offer_ends_ahead_and_not_past_the_cut_off(
    naive: datetime, left: timedelta
) -> None:
    now = naive.replace(tzinfo=UTC)
    cut_off = now + left
    until = answer_by(cut_off_at=cut_off, now=now, zone=ZONE)
    assert min(now + SHORTEST, cut_off) <= until <= cut_off
    shown = until.astimezone(ZONE)
    assert 8 <= shown.hour < 21 or (shown.hour, shown.minute) == (21, 0) or until == cut_off
