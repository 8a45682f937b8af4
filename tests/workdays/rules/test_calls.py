"""What may be decided for a day, and what a decision does to its times."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.calls import DayToCall, Decided, moved, refusals_to_decide, shortened
from workdays.rules.day_frame import BlockTimes
from workdays.rules.wall_clock import NoSuchTime
from workdays.rules.weather import Window
from workdays.rules.weather_call import Decision

ZONE = ZoneInfo("America/New_York")
NOW = datetime(2026, 5, 8, 21, 0, tzinfo=UTC)
QUARTER = timedelta(minutes=15)


def at(clock: str, on: date = date(2026, 5, 9)) -> datetime:
    return datetime.combine(on, time.fromisoformat(clock), tzinfo=ZONE)


def utc(*clock: str) -> Window:
    starts_at, ends_at = (at(one).astimezone(UTC) for one in clock)
    return Window(starts_at, ends_at)


BLOCKS = (
    BlockTimes("morning", True, *(at(c).astimezone(UTC) for c in ("09:00", "12:00"))),
    BlockTimes("lunch", False, *(at(c).astimezone(UTC) for c in ("12:00", "12:30"))),
    BlockTimes("afternoon", True, *(at(c).astimezone(UTC) for c in ("12:30", "15:00"))),
)
DAY = DayToCall(
    state="open",
    window=Window(at("09:00"), at("15:00")),
    rain_on=date(2026, 5, 10),
    has_roll=False,
    has_forecast=True,
    blocks=BLOCKS,
)


def codes(wish: Decided, day: DayToCall = DAY, now: datetime = NOW) -> list[str]:
    return [refusal.code for refusal in refusals_to_decide(day, wish, now=now)]


def shorter(*clock: str) -> Decided:
    return Decided(Decision.SHORTENED, "frost", utc(*clock))


STANDS = Decided(Decision.STANDS)
MOVED = Decided(Decision.MOVED, "thunder all day")
OFF = Decided(Decision.CALLED_OFF, "thunder all day")


@pytest.mark.parametrize("wish", [STANDS, MOVED, OFF, shorter("11:00", "15:00")])
def test_each_decision_can_be_taken_the_evening_before(wish: Decided) -> None:
    assert codes(wish) == []


@pytest.mark.parametrize("wish", [STANDS, MOVED, OFF, shorter("11:00", "15:00")])
@pytest.mark.parametrize("state", ["draft", "called_off", "closed"])
def test_nothing_is_decided_for_a_day_that_is_not_open(state: str, wish: Decided) -> None:
    assert codes(wish, replace(DAY, state=state)) == [f"day_{state}"]


@pytest.mark.parametrize("wish", [STANDS, MOVED, OFF, shorter("11:00", "15:00")])
def test_nothing_is_decided_for_a_day_that_is_over(wish: Decided) -> None:
    assert codes(wish, now=at("15:00")) == ["day_past"]


def test_a_day_without_a_rain_date_cannot_move() -> None:
    assert codes(MOVED, replace(DAY, rain_on=None)) == ["no_rain_date"]


def test_a_rain_date_that_has_passed_is_no_date_to_move_to() -> None:
    assert codes(MOVED, replace(DAY, rain_on=date(2026, 5, 7))) == ["rain_past"]
    assert codes(MOVED, replace(DAY, rain_on=date(2026, 5, 9))) == ["rain_not_after"]


def test_a_day_does_not_move_onto_a_time_that_no_clock_shows() -> None:
    night = replace(DAY, window=Window(at("02:00"), at("04:00")), blocks=())
    spring = replace(night, rain_on=date(2027, 3, 14))
    assert codes(MOVED, spring, NOW - timedelta(days=1)) == ["rain_no_such_time"]
    with pytest.raises(NoSuchTime):
        moved(night, date(2027, 3, 14), now=NOW)


def test_a_day_that_has_begun_can_end_early_but_not_move() -> None:
    begun = at("10:07")
    assert codes(MOVED, now=begun) == ["begun"]
    assert codes(shorter("09:00", "13:00"), now=begun) == []
    assert codes(OFF, now=begun) == []


def test_a_day_with_people_on_the_roll_is_not_called_off() -> None:
    assert codes(OFF, replace(DAY, has_roll=True), at("10:00")) == ["begun"]


@pytest.mark.parametrize("wish", [MOVED, OFF, shorter("11:00", "15:00")])
def test_whatever_changes_the_day_needs_a_reason(wish: Decided) -> None:
    assert codes(replace(wish, reason=" ")) == ["reason"]


def test_without_a_forecast_even_a_day_that_stands_needs_a_reason() -> None:
    unseen = replace(DAY, has_forecast=False)
    assert codes(STANDS, unseen) == ["reason"]
    assert codes(replace(STANDS, reason="The sky is clear."), unseen) == []


def test_a_reason_of_ten_thousand_characters_is_refused() -> None:
    assert codes(replace(OFF, reason="x" * 10_000)) == ["reason"]


@pytest.mark.parametrize(
    ("span", "found"),
    [
        (("08:00", "15:00"), ["starts"]),
        (("09:00", "16:00"), ["ends"]),
        (("09:00", "15:00"), ["starts"]),
        (("14:30", "15:00"), ["ends"]),
        (("13:00", "11:00"), ["ends"]),
        (("11:07", "15:00"), ["starts"]),
        (("11:00", "14:59"), ["ends"]),
    ],
)
def test_hours_that_cannot_be_are_named(span: tuple[str, str], found: list[str]) -> None:
    assert codes(shorter(*span)) == found


def test_a_shortened_day_needs_hours_and_work_in_them() -> None:
    assert codes(Decided(Decision.SHORTENED, "frost")) == ["starts"]
    long_lunch = (
        replace(BLOCKS[0], ends_at=at("10:00").astimezone(UTC)),
        BlockTimes("lunch", False, *(at(c).astimezone(UTC) for c in ("10:00", "13:00"))),
        replace(BLOCKS[2], starts_at=at("13:00").astimezone(UTC)),
    )
    assert codes(shorter("10:30", "12:30"), replace(DAY, blocks=long_lunch)) == ["starts"]


@pytest.mark.parametrize(
    ("span", "code"), [(("10:00", "15:00"), "starts"), (("09:00", "10:15"), "ends")]
)
def test_no_new_hour_lies_in_the_past(span: tuple[str, str], code: str) -> None:
    assert codes(shorter(*span), now=at("10:15")) == [code]


def test_blocks_are_cut_and_a_break_at_the_edge_is_dropped() -> None:
    assert [b and (b.starts_at, b.ends_at) for b in shortened(BLOCKS, utc("11:00", "14:00"))] == [
        (at("11:00"), at("12:00")),
        (at("12:00"), at("12:30")),
        (at("12:30"), at("14:00")),
    ]
    assert shortened(BLOCKS, utc("12:00", "15:00"))[:2] == [None, None]
    assert shortened(BLOCKS, utc("09:00", "12:30"))[1:] == [None, None]


quarters = st.integers(0, 24).map(lambda n: at("09:00").astimezone(UTC) + n * QUARTER)


@given(quarters, quarters)
def test_no_block_reaches_out_of_the_new_hours(one: datetime, two: datetime) -> None:
    span = Window(min(one, two), max(one, two))
    kept = [block for block in shortened(BLOCKS, span) if block]
    assert all(span.starts_at <= b.starts_at < b.ends_at <= span.ends_at for b in kept)
    assert not kept or (kept[0].is_work and kept[-1].is_work)


def test_a_moved_day_keeps_its_clock_times_over_a_clock_change() -> None:
    on = date(2026, 10, 31)
    day = replace(
        DAY,
        window=Window(at("09:00", on), at("15:00", on)),
        blocks=(BlockTimes("whole", True, at("09:00", on), at("15:00", on)),),
    )
    there = moved(day, date(2026, 11, 1), now=NOW)
    assert there.starts_at - at("09:00", on).astimezone(UTC) == timedelta(hours=25)
    assert there.starts_at.astimezone(ZONE).hour == 9
    assert there.blocks[0].ends_at == there.ends_at
    assert there.deadline_at == at("18:00", on)


def test_the_new_cut_off_is_never_in_the_past() -> None:
    late = moved(DAY, date(2026, 5, 10), now=at("20:00"))
    assert late.deadline_at == at("08:00", date(2026, 5, 10))
