"""When work was done, so that what waits for it is counted from then."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo

from workdays.rules.finishing import done_at, refusals_to_finish

DETROIT = ZoneInfo("America/Detroit")
NOW = datetime(2026, 11, 26, 15, 0, tzinfo=UTC)


def test_a_time_that_is_told_is_that_time_at_the_place() -> None:
    said = done_at(date(2026, 11, 25), time(9, 30), zone=DETROIT, now=NOW)
    assert said == datetime(2026, 11, 25, 14, 30, tzinfo=UTC)


def test_without_a_time_the_whole_day_may_have_gone_by() -> None:
    said = done_at(date(2026, 11, 25), None, zone=DETROIT, now=NOW)
    assert said == datetime(2026, 11, 26, 4, 59, tzinfo=UTC)


def test_without_a_time_today_is_no_later_than_now() -> None:
    assert done_at(date(2026, 11, 26), None, zone=DETROIT, now=NOW) == NOW


def test_an_hour_that_the_clock_shows_twice_counts_as_the_later_one() -> None:
    """Clocks go back on 1 November 2026 at 2:00, 6:00 UTC: 1:30 comes again at 6:30 UTC."""
    said = done_at(date(2026, 11, 1), time(1, 30), zone=DETROIT, now=NOW)
    assert said.astimezone(UTC) == datetime(2026, 11, 1, 6, 30, tzinfo=UTC)


def test_what_is_to_come_too_old_or_not_to_be_done_is_refused() -> None:
    def codes(said: datetime, *, is_open: bool = True) -> list[str]:
        return [one.code for one in refusals_to_finish(said, now=NOW, is_open=is_open)]

    tomorrow = done_at(date(2026, 11, 27), None, zone=DETROIT, now=NOW)
    later_today = done_at(date(2026, 11, 26), time(23, 0), zone=DETROIT, now=NOW)
    assert codes(tomorrow) == codes(later_today) == ["future"]
    assert codes(datetime(1989, 12, 31, tzinfo=DETROIT)) == ["too-old"]
    assert codes(NOW, is_open=False) == ["not-open"]
    assert codes(NOW) == []


def test_today_is_the_date_at_the_place_not_in_greenwich() -> None:
    evening = datetime(2026, 5, 10, 2, 0, tzinfo=UTC)
    tomorrow = done_at(date(2026, 5, 10), None, zone=DETROIT, now=evening)
    assert [one.code for one in refusals_to_finish(tomorrow, now=evening, is_open=True)] == [
        "future"
    ]
    morning = datetime(2026, 5, 9, 22, 0, tzinfo=UTC)
    today = done_at(date(2026, 5, 10), None, zone=ZoneInfo("Australia/Sydney"), now=morning)
    assert today == morning
