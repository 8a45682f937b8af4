"""The two nights when clocks change, and the words for a date.

Detroit changes on 8 March and 1 November 2026 (IANA time zone database, America/Detroit).
"""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

import pytest

from workdays.rules import wall_clock

DETROIT = ZoneInfo("America/Detroit")


def test_a_time_in_winter_and_one_in_summer_differ_by_an_hour() -> None:
    assert wall_clock.moment(date(2026, 1, 10), time(9), DETROIT).hour == 14
    assert wall_clock.moment(date(2026, 7, 10), time(9), DETROIT).hour == 13


def test_a_time_that_is_jumped_over_is_refused() -> None:
    with pytest.raises(wall_clock.NoSuchTime):
        wall_clock.moment(date(2026, 3, 8), time(2, 30), DETROIT)


def test_the_quarter_hours_around_the_jump_are_fifteen_minutes_apart() -> None:
    before = wall_clock.moment(date(2026, 3, 8), time(1, 45), DETROIT)
    after = wall_clock.moment(date(2026, 3, 8), time(3, 0), DETROIT)
    assert (after - before).total_seconds() == 15 * 60


def test_a_time_that_comes_twice_is_the_first() -> None:
    found = wall_clock.moment(date(2026, 11, 1), time(1, 30), DETROIT)
    assert found == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)


def test_the_leap_day_has_words() -> None:
    assert wall_clock.day_words(date(2028, 2, 29)) == "Tuesday 29 February"


def test_another_year_is_said() -> None:
    today = date(2026, 12, 31)
    assert wall_clock.day_words(date(2027, 1, 2), today=today) == "Saturday 2 January 2027"
    assert wall_clock.day_words(date(2026, 12, 31), today=today) == "Thursday 31 December"
