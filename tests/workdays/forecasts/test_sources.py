from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.forecasts.sources import (
    MOST_PROBLEMS,
    Reading,
    as_rows,
    by_hand,
    from_file,
    from_rows,
    horizon,
)
from workdays.rules.kinds import KindFacts
from workdays.rules.weather import HourFacts, Thunder, Verdict, Window, verdicts
from workdays.rules.weather_limits import DEFAULT_LIMITS

ZONE = ZoneInfo("America/New_York")
NINE = datetime(2026, 5, 9, 9, 0, tzinfo=ZONE)
DAY = Window(NINE, NINE + timedelta(hours=6))
EXAMPLE = Path(__file__).parents[3] / "fixtures" / "forecast.json"
CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RAKING = KindFacts("raking", "Raking")


def rows() -> list[dict[str, Any]]:
    """Return the example as plain values; it reaches exactly around the day."""
    found: list[dict[str, Any]] = json.loads(EXAMPLE.read_text())["hours"]
    return found


def read(hours: Any) -> Reading:
    return from_file(json.dumps({"hours": hours}).encode(), window=DAY)


def changed(number: int, **values: Any) -> Reading:
    """Read the example with some values of one hour (counted from 1) replaced."""
    hours = rows()
    hours[number - 1] |= values
    return read(hours)


def words(reading: Reading, kind: KindFacts = CLEANING) -> list[Verdict]:
    found = verdicts([kind], limits=DEFAULT_LIMITS, hours=reading.hours, window=DAY)
    return [row.verdict for row in found[kind.key]]


def test_the_example_is_read_whole_and_makes_a_cold_morning() -> None:
    reading = from_file(EXAMPLE.read_bytes(), window=DAY)
    assert reading.problems == ()
    assert tuple(facts.at for facts in reading.hours) == horizon(DAY)
    nine = reading.hours[24]
    assert (nine.at, nine.temperature_c, nine.thunder) == (NINE, Decimal("4.4"), Thunder.NO)
    assert words(reading) == [Verdict.OFF, Verdict.WATCH, *[Verdict.ON] * 4]


def test_a_byte_order_mark_does_no_harm() -> None:
    assert from_file(b"\xef\xbb\xbf" + EXAMPLE.read_bytes(), window=DAY).problems == ()


def test_hours_beyond_the_horizon_are_left_out_and_order_does_not_matter() -> None:
    far = [{"at": "0001-01-01T00:00+00:00"}, {"at": "2026-06-01T00:00-04:00"}]
    reading = read([*rows()[::-1], *far])
    assert reading.hours == read(rows()).hours


def test_the_horizon_is_24_hours_before_the_start_to_48_after_the_end() -> None:
    first, *_, last = horizon(DAY)
    assert first == NINE - timedelta(hours=24)
    assert last + timedelta(hours=1) == DAY.ends_at + timedelta(hours=48)


def test_the_horizon_has_as_many_hours_over_a_clock_change() -> None:
    before = datetime(2026, 10, 31, 9, 0, tzinfo=ZONE)
    assert len(horizon(Window(before, before + timedelta(hours=6)))) == 24 + 6 + 48


def test_offsets_of_any_place_mean_the_same_moments() -> None:
    in_utc = [
        row | {"at": datetime.fromisoformat(row["at"]).astimezone(UTC).isoformat()}
        for row in rows()
    ]
    assert words(read(in_utc)) == words(read(rows()))


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "not JSON: line 1, column 1"),
        (b"hello", "not JSON: line 1, column 1"),
        (b'{"hours": [', "not JSON"),
        (b"\xff\xfe\x00", "not text in UTF-8"),
        (b"[]", 'list called "hours"'),
        (b"7", 'list called "hours"'),
        (b'{"hours": {}}', 'list called "hours"'),
        (b'{"hours": []}', "holds no hours"),
        (b"[" * 100_000, "nested too deep"),
        (b" " * 1_000_001, "larger than 1 MB"),
        (b'{"hours": [' + b"1," * 9_999 + b"1]}", "holds 10000 hours; 1000 are the most"),
    ],
)
def test_a_file_that_is_no_forecast_gets_one_sentence(content: bytes, sentence: str) -> None:
    reading = from_file(content, window=DAY)
    assert reading.hours == ()
    assert len(reading.problems) == 1
    assert sentence in reading.problems[0]


@pytest.mark.parametrize(
    ("values", "sentence"),
    [
        ({"temperature_c": 200}, "temperature_c must lie between -60 and 60"),
        ({"temperature_c": "12"}, 'temperature_c must be a number, not "12"'),
        ({"temperature_c": True}, 'temperature_c must be a number, not "True"'),
        ({"temperature_c": float("nan")}, "temperature_c must be a number, not NaN"),
        ({"wind_kmh": float("inf")}, "wind_kmh must be a number, not Infinity"),
        ({"gust_kmh": float("-inf")}, "gust_kmh must be a number, not -Infinity"),
        ({"humidity_percent": 101}, "humidity_percent must lie between 0 and 100"),
        ({"rain_mm": -1}, "rain_mm must lie between 0 and 400"),
        ({"rain_chance_percent": [1]}, "rain_chance_percent must be a number"),
        ({"stone_temperature_c": {"a": 1}}, "stone_temperature_c must be a number"),
        ({"thunder": "maybe"}, 'thunder must be "yes", "no" or "unknown", not "maybe"'),
        ({"thunder": [1]}, "thunder must be"),
        ({"thunder": True}, "thunder must be"),
        ({"snow": 1}, '"snow" is not a field'),
        ({"x" * 10_000: 1}, "xxx... is not a field"),
        ({"wind_kmh": "9" * 10_000}, "wind_kmh must be a number"),
    ],
)
def test_a_wrong_value_is_named_with_its_hour(values: dict[str, Any], sentence: str) -> None:
    reading = changed(25, **values)
    assert reading.hours == ()
    assert len(reading.problems) == 1
    assert reading.problems[0].startswith("Hour 25 (2026-05-09 9:00): ")
    assert sentence in reading.problems[0]
    assert len(reading.problems[0]) < 200


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        ("1e999999", "must lie between"),
        ("1e-999999", "more than 20 decimals"),
        ("9" * 100_000, "must lie between"),
        ("1e99999999999999999999", "temperature_c"),
    ],
)
def test_numbers_of_monstrous_size_are_refused(number: str, sentence: str) -> None:
    hours = json.dumps(rows()).replace('"temperature_c": 4.4', f'"temperature_c": {number}', 1)
    reading = from_file(f'{{"hours": {hours}}}'.encode(), window=DAY)
    assert len(reading.problems) == 1
    assert sentence in reading.problems[0]


@pytest.mark.parametrize(
    ("at", "sentence"),
    [
        (None, "at must be a moment"),
        (7, "at must be a moment"),
        ("Saturday", "at must be a moment"),
        ("0001-01-01T00:00+14:00", "at must be a moment"),
        ("2026-05-09T09:00", "offset from UTC"),
        ("2026-05-09T09:30-04:00", "full hour, not 09:30:00"),
    ],
)
def test_an_hour_without_a_usable_moment_is_named_by_its_number(at: Any, sentence: str) -> None:
    reading = changed(3, at=at)
    assert len(reading.problems) == 1
    assert reading.problems[0].startswith("Hour 3: ")
    assert sentence in reading.problems[0]


def test_an_hour_that_is_no_object_is_named() -> None:
    assert "Hour 79: it must be an object" in read([*rows(), 7]).problems[0]


def test_all_problems_come_at_once_and_not_without_end() -> None:
    hours = rows()
    hours[0]["temperature_c"] = 200
    hours[1]["thunder"] = "maybe"
    assert len(read([*hours, hours[5]]).problems) == 3
    many = [row | {"rain_mm": -1} for row in rows()]
    problems = read(many).problems
    assert len(problems) == MOST_PROBLEMS + 1
    assert problems[-1] == f"And {len(many) - MOST_PROBLEMS} more like these."


def test_missing_hours_are_named_as_stretches() -> None:
    hours = rows()
    gone = [row for n, row in enumerate(hours) if n not in (24, 30, 31, 32)]
    assert read(gone).problems == (
        "The hour 2026-05-09 9:00 is missing.",
        "3 hours are missing, from 2026-05-09 15:00 to 2026-05-09 17:00.",
    )


def test_an_hour_given_twice_is_named_once() -> None:
    hours = rows()
    assert read([*hours, hours[24], hours[24]]).problems == (
        "2026-05-09 9:00 comes more than once.",
    )


def test_values_left_out_or_null_are_not_known_and_watched() -> None:
    hours = [{"at": row["at"], "temperature_c": None} for row in rows()]
    reading = read(hours)
    assert reading.problems == ()
    assert reading.hours[0].thunder is Thunder.UNKNOWN
    assert set(words(reading, RAKING)) == {Verdict.WATCH}


def fair(**changes: Any) -> list[HourFacts]:
    values: dict[str, Any] = {
        "temperature_c": 15,
        "humidity_percent": 50,
        "thunder": Thunder.NO,
    } | changes
    return [HourFacts(NINE + timedelta(hours=n), **values) for n in range(6)]


def typed(before: Any, after: Any, **changes: Any) -> Reading:
    return by_hand(fair(**changes), window=DAY, lowest_before_c=before, lowest_after_c=after)


def test_by_hand_the_lowest_temperature_stands_for_every_hour_around() -> None:
    reading = typed(Decimal("7.5"), 3)
    assert tuple(facts.at for facts in reading.hours) == horizon(DAY)
    assert {facts.temperature_c for facts in reading.hours[:24]} == {Decimal("7.5")}
    assert {facts.temperature_c for facts in reading.hours[-48:]} == {3}
    assert set(words(reading)) == set(words(reading, RAKING)) == {Verdict.ON}


@pytest.mark.parametrize(
    ("before", "after", "word"),
    [(0, 9, Verdict.OFF), (9, 0, Verdict.OFF), (9, 1, Verdict.WATCH), (9, None, Verdict.WATCH)],
)
def test_by_hand_a_frost_before_or_after_stops_wet_work(
    before: Any, after: Any, word: Verdict
) -> None:
    assert set(words(typed(before, after))) == {word}
    assert set(words(typed(before, after), RAKING)) == {Verdict.ON}


def test_by_hand_an_hour_of_the_day_left_out_is_watched() -> None:
    reading = by_hand(fair()[:-1], window=DAY, lowest_before_c=9, lowest_after_c=9)
    assert words(reading, RAKING)[-1] is Verdict.WATCH


def test_by_hand_absurd_values_get_a_sentence_each() -> None:
    assert typed(99, float("nan"), wind_kmh=Decimal(-1)).problems[-2:] == (
        'The lowest temperature before must lie between -60 and 60, not "99".',
        'The lowest temperature after must lie between -60 and 60, not "nan".',
    )
    assert typed(9, 9, wind_kmh=-1).problems[0] == (
        '9:00: wind_kmh must lie between 0 and 300, not "-1".'
    )


def test_hours_survive_storing_without_rounding() -> None:
    reading = read(rows())
    stored = json.loads(json.dumps(as_rows(reading.hours)))
    assert from_rows(stored, zone=ZONE) == reading.hours


def test_a_fraction_of_a_degree_survives_storing() -> None:
    typed_40_f = HourFacts(NINE, temperature_c=Fraction(40, 9))
    stored = json.loads(json.dumps(as_rows([typed_40_f])))
    assert from_rows(stored, zone=ZONE) == (typed_40_f,)


anything = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=9), inner),
    max_leaves=10,
)


@given(st.sampled_from(sorted(rows()[0])), anything)
def test_whatever_stands_in_a_field_gives_hours_or_sentences_never_an_error(
    field: str, value: Any
) -> None:
    reading = changed(30, **{field: value})
    assert bool(reading.hours) is not bool(reading.problems)


@given(st.binary(max_size=200) | anything.map(lambda value: json.dumps(value).encode()))
def test_whatever_the_file_holds_there_is_a_sentence(content: bytes) -> None:
    assert from_file(content, window=DAY).problems
