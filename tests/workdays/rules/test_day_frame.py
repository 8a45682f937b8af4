"""What a day may be: each bound from both sides."""

from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules import day_frame
from workdays.rules.day_frame import DayFrame

DETROIT = ZoneInfo("America/Detroit")
NOW = datetime(2026, 1, 6, 14, 0, tzinfo=UTC)
GOOD = DayFrame(
    on=date(2026, 5, 9),
    starts=time(9),
    ends=time(15),
    zone=DETROIT,
    break_from=time(12),
    break_to=time(12, 30),
    rain_on=date(2026, 5, 10),
)


def codes(frame: DayFrame, now: datetime = NOW) -> set[str]:
    return {refusal.code for refusal in day_frame.refusals(frame, now=now)}


def test_a_plain_day_is_allowed() -> None:
    assert codes(GOOD) == set()


@pytest.mark.parametrize(
    ("change", "code"),
    [
        ({"on": date(2026, 1, 5)}, "day_past"),
        ({"on": date(1, 1, 1)}, "day_past"),
        ({"on": date(9999, 12, 31)}, "day_far"),
        ({"ends": time(8)}, "end_before_start"),
        ({"ends": time(9)}, "end_before_start"),
        ({"starts": time(6), "ends": time(18, 15)}, "day_too_long"),
        ({"starts": time(9, 10)}, "starts_quarter"),
        ({"ends": time(15, 0, 30)}, "ends_quarter"),
        ({"break_from": None}, "break_half"),
        ({"break_to": None}, "break_half"),
        ({"break_from": time(9)}, "break_outside"),
        ({"break_to": time(15)}, "break_outside"),
        ({"break_from": time(12, 30)}, "break_backwards"),
        ({"rain_on": date(2026, 5, 9)}, "rain_not_after"),
        ({"rain_on": date(2026, 5, 2)}, "rain_not_after"),
        ({"rain_on": date(2026, 7, 9)}, "rain_far"),
        ({"rain_on": date(9999, 12, 31)}, "rain_far"),
        ({"cut_off": datetime(2026, 5, 9, 9, 15)}, "cut_off_late"),  # noqa: DTZ001
        ({"cut_off": datetime(2026, 5, 10, 9)}, "cut_off_far"),  # noqa: DTZ001
        ({"cut_off": datetime(1, 1, 1)}, "cut_off_far"),  # noqa: DTZ001
        ({"call_by": datetime(2026, 3, 8, 2, 30)}, "call_by_no_such_time"),  # noqa: DTZ001
        ({"capacity": 1}, "capacity"),
        ({"capacity": 501}, "capacity"),
        ({"fewest": 1}, "fewest"),
        ({"fewest": 21}, "fewest_over_capacity"),
        ({"is_clinic": True}, "clinic_without_skill"),
        ({"equipment": {"buckets": -1}}, "equipment_buckets"),
        ({"equipment": {"buckets": 501}}, "equipment_buckets"),
    ],
)
def test_what_is_out_of_bounds_is_refused(change: dict[str, Any], code: str) -> None:
    assert code in codes(replace(GOOD, **change))


@pytest.mark.parametrize(
    "change",
    [
        {"on": date(2026, 1, 7), "rain_on": None},
        {"starts": time(6), "ends": time(18)},
        {"break_from": None, "break_to": None},
        {"break_from": time(9, 15), "break_to": time(14, 45)},
        {"rain_on": date(2026, 7, 8)},
        {"cut_off": datetime(2026, 5, 9, 9)},  # noqa: DTZ001
        {"capacity": 500},
        {"capacity": 2, "fewest": 2},
        {"is_clinic": True, "teaches": "cleaning"},
        {"equipment": {"buckets": 500, "ladders": 0}},
    ],
)
def test_what_is_just_inside_the_bounds_is_allowed(change: dict[str, Any]) -> None:
    assert codes(replace(GOOD, **change)) == set()


def test_an_hour_that_is_jumped_over_is_refused_and_the_next_is_allowed() -> None:
    night = replace(GOOD, on=date(2026, 3, 8), starts=time(2, 30), rain_on=None)
    assert codes(night) == {"starts_no_such_time"}
    assert codes(replace(night, starts=time(3))) == set()


def test_a_rain_date_on_which_the_start_is_jumped_over_is_refused() -> None:
    saturday = replace(
        GOOD, on=date(2026, 3, 7), starts=time(2), ends=time(13), rain_on=date(2026, 3, 8)
    )
    assert codes(saturday) == {"rain_no_such_time"}


def test_the_first_of_two_hours_counts_when_clocks_go_back() -> None:
    night = replace(
        GOOD,
        on=date(2026, 11, 1),
        starts=time(1, 30),
        ends=time(9),
        break_from=None,
        break_to=None,
        rain_on=None,
    )
    assert codes(night) == set()
    starts_at, ends_at = day_frame.times(night)
    assert starts_at == datetime(2026, 11, 1, 5, 30, tzinfo=UTC)
    assert ends_at - starts_at == timedelta(hours=8, minutes=30)


def test_today_is_allowed_until_the_start_has_passed() -> None:
    at_nine = datetime(2026, 5, 9, 13, 0, tzinfo=UTC)
    assert "start_past" in codes(GOOD, at_nine)
    assert codes(GOOD, at_nine - timedelta(minutes=1)) == set()


def test_a_stored_last_moment_may_have_passed_and_a_new_one_may_not() -> None:
    passed = replace(GOOD, cut_off=datetime(2026, 5, 8, 18))  # noqa: DTZ001
    late = datetime(2026, 5, 9, 2, 0, tzinfo=UTC)
    assert codes(passed, late) == {"cut_off_past"}
    stored = frozenset({datetime(2026, 5, 8, 22, 0, tzinfo=UTC)})
    assert codes(replace(passed, keeps=stored), late) == set()


@pytest.mark.parametrize(
    ("now", "expected"),
    [
        (NOW, datetime(2026, 5, 8, 22, 0, tzinfo=UTC)),
        (datetime(2026, 5, 9, 1, 0, tzinfo=UTC), datetime(2026, 5, 9, 12, 0, tzinfo=UTC)),
        (datetime(2026, 5, 9, 12, 30, tzinfo=UTC), datetime(2026, 5, 9, 13, 0, tzinfo=UTC)),
    ],
)
def test_the_last_moment_is_the_evening_before_or_what_is_left(
    now: datetime, expected: datetime
) -> None:
    assert day_frame.deadline(GOOD, None, now=now) == expected


def test_a_day_with_lunch_has_three_blocks_and_one_without_has_one() -> None:
    names = [(b.name, b.is_work) for b in day_frame.blocks(GOOD)]
    assert names == [("morning", True), ("lunch", False), ("afternoon", True)]
    assert len(day_frame.blocks(replace(GOOD, break_from=None, break_to=None))) == 1


def test_an_early_break_is_not_called_lunch() -> None:
    early = replace(GOOD, break_from=time(10), break_to=time(10, 15))
    assert [b.name for b in day_frame.blocks(early)] == ["first half", "break", "second half"]


@given(
    st.dates(date(2026, 1, 8), date(2027, 12, 31)),
    st.times().map(lambda t: t.replace(minute=t.minute // 15 * 15, second=0, microsecond=0)),
    st.times().map(lambda t: t.replace(minute=t.minute // 15 * 15, second=0, microsecond=0)),
)
def test_the_blocks_of_an_allowed_day_fill_it_without_gap(
    on: date, starts: time, ends: time
) -> None:
    frame = replace(GOOD, on=on, starts=starts, ends=ends, rain_on=None)
    if day_frame.refusals(frame, now=NOW):
        return
    rows = day_frame.blocks(frame)
    assert (rows[0].starts_at, rows[-1].ends_at) == day_frame.times(frame)
    assert all(a.ends_at == b.starts_at for a, b in pairwise(rows))
    assert all(b.starts_at < b.ends_at for b in rows)
