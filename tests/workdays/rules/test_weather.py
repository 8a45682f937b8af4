"""Verdicts by hour. Limits and sources: workdays.rules.weather_limits.

40 F for wet work: a cleaner maker's answer, undated. Heat 91, 103, 115: OSHA, Using the Heat
Index. Thunder: US National Weather Service. Frost at or below 0 C.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workdays.rules.kinds import KindFacts
from workdays.rules.weather import (
    Applies,
    Comparison,
    HourFacts,
    HourVerdict,
    LimitFacts,
    Measure,
    Thunder,
    Verdict,
    Window,
    assumptions,
    gravest,
    hours_of,
    verdicts,
)
from workdays.rules.weather_limits import DEFAULT_LIMITS, chosen, with_coldest

ZONE = ZoneInfo("America/New_York")
RAKING = KindFacts("raking", "Raking")
CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
MENDING = KindFacts("mending", "Mending", touches=True, wets=True, mixed_batch=True)
KINDS = (RAKING, CLEANING, RESETTING, MENDING)
START = datetime(2026, 5, 9, 9, 0, tzinfo=ZONE)
DAY = Window(START, START + timedelta(hours=6))
FAIR = HourFacts(
    START,
    temperature_c=15,
    humidity_percent=50,
    wind_kmh=5,
    gust_kmh=10,
    rain_mm=0,
    rain_chance_percent=0,
    thunder=Thunder.NO,
)


def forecast(changes: dict[int, dict[str, Any]] | None = None, **all_day: Any) -> list[HourFacts]:
    """Return fair hours from 24 before the start to 48 after the end, changed by offset."""
    fair = replace(FAIR, **all_day)
    return [
        replace(fair, at=START + timedelta(hours=n), **(changes or {}).get(n, {}))
        for n in range(-24, 54)
    ]


def judge(
    hours: Iterable[HourFacts],
    *,
    limits: tuple[LimitFacts, ...] = DEFAULT_LIMITS,
    window: Window = DAY,
) -> dict[str, tuple[HourVerdict, ...]]:
    return verdicts(KINDS, limits=limits, hours=hours, window=window)


def words(hours: Iterable[HourFacts], kind: KindFacts) -> str:
    """Return the words of a day as letters: o on, w watch, x off."""
    return letters(judge(hours)[kind.key])


def letters(rows: Iterable[HourVerdict]) -> str:
    return "".join({"on": "o", "watch": "w", "off": "x"}[row.verdict] for row in rows)


def test_a_fair_day_is_on_for_everything_without_reasons() -> None:
    for rows in judge(forecast()).values():
        assert [row.verdict for row in rows] == [Verdict.ON] * 6
        assert all(row.reasons == () for row in rows)


@pytest.mark.parametrize(
    ("celsius", "word"),
    [
        (4.4, "x"),
        (Fraction(40, 9), "x"),
        (4.45, "w"),
        (Fraction(40, 9) + 2, "w"),
        (6.45, "o"),
        (Decimal("10.0"), "o"),
    ],
)
def test_wet_work_is_off_at_or_below_40_f_and_watched_within_2_c(celsius: float, word: str) -> None:
    assert words(forecast({0: {"temperature_c": celsius}}), CLEANING)[0] == word
    assert words(forecast({0: {"temperature_c": celsius}}), RAKING)[0] == "o"


def test_the_stone_counts_as_much_as_the_air_and_its_absence_is_said() -> None:
    cold_stone = forecast(
        {0: {"stone_temperature_c": 3}, 1: {"stone_temperature_c": 9}}, temperature_c=10
    )
    rows = judge(cold_stone)["cleaning"]
    assert [row.verdict for row in rows[:2]] == [Verdict.OFF, Verdict.ON]
    assert rows[0].reasons[0].sentence == (
        "Stone 37.4 \N{DEGREE SIGN}F. Wet work stops at or below 40 \N{DEGREE SIGN}F."
    )
    assert len(assumptions(cold_stone)) == 1
    assert assumptions(forecast(stone_temperature_c=10)) == []
    assert assumptions([HourFacts(START)]) == []
    absent = judge(forecast({0: {"temperature_c": 3}}))["cleaning"][0]
    assert any("not given, taken as the air" in reason.sentence for reason in absent.reasons)


def test_frost_within_24_hours_stops_wet_work_and_not_an_hour_further() -> None:
    day_before = forecast({-24: {"temperature_c": 0}})
    assert words(day_before, CLEANING) == "xooooo"
    assert (
        judge(day_before)["cleaning"][0]
        .reasons[0]
        .sentence.startswith("Air 0 \N{DEGREE SIGN}C at 9:00 on Friday. No wet work with frost")
    )
    assert words(forecast({26: {"temperature_c": -1}}), CLEANING) == "ooxxxx"
    assert words(forecast({26: {"temperature_c": 1}}), CLEANING) == "oowwww"
    assert words(forecast({26: {"temperature_c": 2.1}}), CLEANING) == "oooooo"


def test_lime_looks_48_hours_ahead() -> None:
    frost = forecast({50: {"temperature_c": 0}})
    assert words(frost, MENDING) == "ooxxxx"
    assert words(frost, CLEANING) == "oooooo"


@pytest.mark.parametrize(
    ("fahrenheit", "word"), [(76.4, "w"), (76.3, "o"), (80, "x"), (79.9, "w"), (50, "o")]
)
def test_lime_is_not_laid_in_great_warmth(fahrenheit: float, word: str) -> None:
    celsius = (Fraction(str(fahrenheit)) - 32) * Fraction(5, 9)
    hours = forecast({0: {"temperature_c": celsius, "humidity_percent": 40}})
    assert words(hours, MENDING)[0] == word


@pytest.mark.parametrize(
    ("fahrenheit", "humidity", "raking", "resetting"),
    [
        (90, 40, "o", "o"),  # heat index 90.7
        (90, 45, "w", "w"),  # 92.5
        (94, 55, "w", "x"),  # 106
        (100, 60, "x", "x"),  # 129
    ],
)
def test_heat_steps(fahrenheit: int, humidity: int, raking: str, resetting: str) -> None:
    celsius = Fraction(fahrenheit - 32) * Fraction(5, 9)
    hours = forecast({0: {"temperature_c": celsius, "humidity_percent": humidity}})
    assert words(hours, RAKING)[0] == raking
    assert words(hours, RESETTING)[0] == resetting


def test_a_heat_step_holds_at_its_value_and_has_no_margin() -> None:
    hours = forecast({0: {"temperature_c": 24, "humidity_percent": 50}})
    exactly = next(limit for limit in DEFAULT_LIMITS if limit.key == "heat-91")
    index = Decimal("75.01")  # 0.5 * (75.2 + 61 + 7.2 * 1.2 + 50 * 0.094) = 74.77
    below = replace(exactly, value=Decimal("74.77"))
    above = replace(exactly, value=index)
    assert judge(hours, limits=(below,))["raking"][0].verdict is Verdict.WATCH
    assert judge(hours, limits=(above,))["raking"][0].verdict is Verdict.ON


def test_thunder_stops_all_work_in_its_hour_and_the_next() -> None:
    hours = forecast({1: {"thunder": Thunder.YES}})
    for kind in KINDS:
        assert words(hours, kind) == "oxxooo"
    before_the_day = forecast({-1: {"thunder": Thunder.YES}})
    assert words(before_the_day, RAKING) == "xooooo"
    sentence = judge(hours)["raking"][2].reasons[0].sentence
    assert sentence.startswith("Thunder at 10:00. Thunder stops all work")


def test_unknown_thunder_is_watch_in_its_own_hour_only() -> None:
    assert words(forecast({1: {"thunder": Thunder.UNKNOWN}}), RAKING) == "owoooo"


@pytest.mark.parametrize("missing", ["temperature_c", "humidity_percent"])
def test_an_unknown_value_is_watch(missing: str) -> None:
    hours = forecast({2: {missing: None}})
    assert words(hours, RAKING) == "oowooo"
    reasons = judge(hours)["raking"][2].reasons
    assert reasons[0].sentence.startswith("Heat index not known.")


def test_unknown_hours_around_are_watch_for_wet_work_and_counted() -> None:
    hours = [facts for facts in forecast() if facts.at != START + timedelta(hours=20)]
    assert words(hours, CLEANING) == "wwwwww"
    assert words(hours, RAKING) == "oooooo"
    sentence = judge(hours)["cleaning"][0].reasons[0].sentence
    assert sentence.startswith("Air not known for 1 of the 49 hours around.")


def test_no_forecast_at_all_is_watch_for_everything() -> None:
    for kind in KINDS:
        assert words([], kind) == "wwwwww"


def test_gusts_concern_lifting_only() -> None:
    hours = forecast({0: {"gust_kmh": Decimal("32.18688")}, 1: {"gust_kmh": 32.1}})
    assert words(hours, RESETTING) == "wooooo"
    assert words(hours, CLEANING) == "oooooo"


@pytest.mark.parametrize(
    ("measure", "field", "value"),
    [
        (Measure.WIND, "wind_kmh", 30),
        (Measure.RAIN, "rain_mm", 2),
        (Measure.RAIN_CHANCE, "rain_chance_percent", 80),
    ],
)
def test_a_cemetery_may_add_limits_on_wind_and_rain(
    measure: Measure, field: str, value: int
) -> None:
    own = LimitFacts(
        "own",
        Applies.EVERY,
        measure,
        Comparison.AT_OR_ABOVE,
        value,
        {Measure.WIND: "km/h", Measure.RAIN: "mm"}.get(measure, "%"),
        Verdict.OFF,
        "The owner's rule.",
        "letter of the owner",
    )
    rows = judge(forecast({0: {field: value}}), limits=(own,))["raking"]
    assert [row.verdict for row in rows[:2]] == [Verdict.OFF, Verdict.ON]


def test_reasons_come_gravest_first_and_name_their_source() -> None:
    row = judge(forecast({0: {"temperature_c": -3, "thunder": Thunder.UNKNOWN}}))["cleaning"][0]
    severities = [reason.verdict for reason in row.reasons]
    assert severities == sorted(severities, key=lambda word: word is not Verdict.OFF)
    assert all(reason.source for reason in row.reasons)


def test_a_stricter_cemetery_has_its_own_coldest_value() -> None:
    stricter = with_coldest(
        DEFAULT_LIMITS, value=Decimal("55.00"), unit="F", source="a cemetery's how-to page"
    )
    rows = judge(forecast({0: {"temperature_c": 12}}), limits=stricter)["cleaning"]
    assert rows[0].verdict is Verdict.OFF
    assert "at or below 55 \N{DEGREE SIGN}F" in rows[0].reasons[0].sentence
    assert rows[0].reasons[0].source == "a cemetery's how-to page"


def test_a_limit_in_celsius_has_the_same_margin() -> None:
    in_celsius = with_coldest(DEFAULT_LIMITS, value=4, unit="C", source="own")
    rows = judge(
        forecast({0: {"temperature_c": 4}, 1: {"temperature_c": 6}, 2: {"temperature_c": 6.1}}),
        limits=in_celsius,
    )["cleaning"]
    assert [row.verdict for row in rows[:3]] == [Verdict.OFF, Verdict.WATCH, Verdict.ON]


def test_a_cemeterys_own_row_replaces_the_general_one_of_the_same_key() -> None:
    own = replace(DEFAULT_LIMITS[0], value=Decimal(50))
    rows = chosen(DEFAULT_LIMITS, [own])
    assert len(rows) == len(DEFAULT_LIMITS)
    assert rows[0].value == 50


@pytest.mark.parametrize(
    "changes",
    [{"unit": "K"}, {"value": None}, {"measure": Measure.THUNDER}],
)
def test_a_row_that_could_never_bite_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="coldest-air"):
        replace(DEFAULT_LIMITS[0], **changes)


def test_every_default_limit_fits_its_row_and_has_a_key_of_its_own() -> None:
    assert len({limit.key for limit in DEFAULT_LIMITS}) == len(DEFAULT_LIMITS)
    for limit in DEFAULT_LIMITS:
        assert 0 < len(limit.source) <= 250
        assert 0 < len(limit.sentence) <= 250
        assert len(limit.key) <= 40


@pytest.mark.parametrize(
    ("start", "hours", "shown"),
    [
        (datetime(2026, 3, 8, 1, 0, tzinfo=ZONE), 3, ["01:00-0500", "03:00-0400", "04:00-0400"]),
        (datetime(2026, 11, 1, 0, 0, tzinfo=ZONE), 3, ["00:00-0400", "01:00-0400", "01:00-0500"]),
        (datetime(2026, 5, 9, 9, 45, tzinfo=ZONE), 1, ["09:00-0400", "10:00-0400"]),
        (datetime(2026, 12, 31, 23, 0, tzinfo=ZONE), 2, ["23:00-0500", "00:00-0500"]),
    ],
)
def test_hours_are_right_on_clock_changes_quarters_and_at_midnight(
    start: datetime, hours: int, shown: list[str]
) -> None:
    end = (start.astimezone(UTC) + timedelta(hours=hours)).astimezone(ZONE)
    assert [f"{at:%H:%M%z}" for at in hours_of(Window(start, end))] == shown


def test_the_gravest_of_no_words_is_on() -> None:
    assert gravest([]) is Verdict.ON


@settings(max_examples=40)
@given(st.lists(st.one_of(st.none(), st.integers(-20, 45)), min_size=78, max_size=78))
def test_wet_work_is_never_more_open_than_raking_and_lime_never_more_than_cleaning(
    celsius: list[int | None],
) -> None:
    order = "owx"
    hours = forecast({n - 24: {"temperature_c": value} for n, value in enumerate(celsius)})
    rows = judge(hours)
    dry, wet, lime = (letters(rows[kind.key]) for kind in (RAKING, CLEANING, MENDING))
    for one, two, three in zip(dry, wet, lime, strict=True):
        assert order.index(one) <= order.index(two) <= order.index(three)
