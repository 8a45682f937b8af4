"""Read an hourly forecast: from a file, or from what somebody typed. Bytes in, facts out.

The file is JSON in UTF-8, at most 1 MB:

    {"hours": [{"at": "2026-05-09T09:00-04:00", "temperature_c": 12.5, "humidity_percent": 60,
                "wind_kmh": 8, "gust_kmh": 15, "rain_mm": 0, "rain_chance_percent": 10,
                "thunder": "no", "stone_temperature_c": 11}, ...]}

`at` is the start of an hour, with its offset from UTC. Every other value may be null or left out
and is then "not known"; `thunder` is "yes", "no" or "unknown". Without `stone_temperature_c` the
air's is taken. The file holds each hour once, from 24 hours before the start of the day to 48
hours after its end; hours beyond are left out. An example is fixtures/forecast.json.

The bounds on values are those of the surface of the earth with room to spare, our own, against
slips and wrong units; no source.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, tzinfo
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from itertools import pairwise
from typing import Any

from workdays.rules.units import Number
from workdays.rules.wall_clock import hour
from workdays.rules.weather import HOUR, HourFacts, Thunder, Window, hours_of

MOST_BYTES = 1_000_000
MOST_HOURS = 1_000
MOST_PROBLEMS = 12
MOST_DECIMALS = 20
HOURS_BEFORE = 24
HOURS_AFTER = 48

BOUNDS: dict[str, tuple[int, int]] = {
    "temperature_c": (-60, 60),
    "humidity_percent": (0, 100),
    "wind_kmh": (0, 300),
    "gust_kmh": (0, 450),
    "rain_mm": (0, 400),
    "rain_chance_percent": (0, 100),
    "stone_temperature_c": (-60, 90),
}
FIELDS = frozenset({"at", "thunder", *BOUNDS})


@dataclass(frozen=True, slots=True)
class Reading:
    """What came of a forecast: hours in order, or sentences that say why not. Never both."""

    hours: tuple[HourFacts, ...] = field(default=())
    problems: tuple[str, ...] = field(default=())


class _Wrong(Exception):  # noqa: N818  # carries a sentence to the reader, not an error of ours
    """A value that cannot be used; the message is the sentence."""


def from_file(content: bytes, *, window: Window) -> Reading:
    """Return the hours of a forecast file that reaches around the day, or all its problems."""
    try:
        rows = _rows(content)
    except _Wrong as wrong:
        return Reading(problems=(str(wrong),))
    hours, problems = _read(rows)
    problems += _doubles(hours)
    if not problems:
        problems = _missing(hours, window)
    asked_for = frozenset(horizon(window))
    return _reading([facts for facts in hours if facts.at in asked_for], problems)


def by_hand(
    hours: Iterable[HourFacts],
    *,
    window: Window,
    lowest_before_c: Number | None,
    lowest_after_c: Number | None,
) -> Reading:
    """Return the day's hours with the lowest air temperature taken for every hour around it.

    `lowest_before_c`: of the 24 hours before the start; `lowest_after_c`: of the 48 after the
    end. None: not known. Hours of the day that are missing are not known.
    """
    given = {facts.at.astimezone(UTC): facts for facts in hours}
    problems = _absurd_values(given.values(), lowest_before_c, lowest_after_c)
    day = {at.astimezone(UTC): at for at in hours_of(window)}
    first, last = min(day), max(day)
    filled = []
    for at in horizon(window):
        lowest = lowest_before_c if at < first else lowest_after_c if at > last else None
        outside = HourFacts(at.astimezone(window.starts_at.tzinfo), temperature_c=lowest)
        filled.append(given.get(at.astimezone(UTC), outside))
    return _reading(filled, problems)


def horizon(window: Window) -> tuple[datetime, ...]:
    """Return every hour (in UTC) that a forecast for a day must hold."""
    day = [at.astimezone(UTC) for at in hours_of(window)]
    before = [day[0] - n * HOUR for n in range(HOURS_BEFORE, 0, -1)]
    after = [day[-1] + n * HOUR for n in range(1, HOURS_AFTER + 1)]
    return (*before, *day, *after)


def as_rows(hours: Iterable[HourFacts]) -> list[dict[str, Any]]:
    """Return hours as plain values for storing; numbers as text, so that none is rounded."""
    return [
        {
            "at": facts.at.isoformat(),
            "thunder": facts.thunder.value,
            **{name: _stored(getattr(facts, name)) for name in BOUNDS},
        }
        for facts in hours
    ]


def from_rows(rows: Iterable[Mapping[str, Any]], *, zone: tzinfo) -> tuple[HourFacts, ...]:
    """Return hours from plain values as `as_rows` made them, in a time zone."""
    return tuple(
        HourFacts(
            datetime.fromisoformat(row["at"]).astimezone(zone),
            thunder=Thunder(row["thunder"]),
            **{name: _restored(row.get(name)) for name in BOUNDS},
        )
        for row in rows
    )


def _stored(number: Number | None) -> str | None:
    return None if number is None else str(number)


def _restored(text: str | None) -> Number | None:
    """Read a stored number back; degrees Fahrenheit become a fraction of Celsius: "40/9"."""
    if text is None:
        return None
    return Fraction(text) if "/" in text else Decimal(text)


def _rows(content: bytes) -> list[Any]:
    """Return the list of hours as JSON holds it."""
    if len(content) > MOST_BYTES:
        raise _Wrong("The file is larger than 1 MB; a forecast of a few days is far smaller.")
    parsed = _parsed(content)
    rows = parsed.get("hours") if isinstance(parsed, dict) else None
    if not isinstance(rows, list):
        raise _Wrong('The file must be one JSON object with a list called "hours".')
    if not rows:
        raise _Wrong("The file holds no hours.")
    if len(rows) > MOST_HOURS:
        raise _Wrong(f"The file holds {len(rows)} hours; {MOST_HOURS} are the most.")
    return rows


def _parsed(content: bytes) -> Any:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise _Wrong("The file is not text in UTF-8.") from None
    try:
        return json.loads(text, parse_float=_decimal, parse_int=_decimal, parse_constant=_decimal)
    except RecursionError:
        raise _Wrong("The file is not a forecast: it is nested too deep.") from None
    except json.JSONDecodeError as error:
        raise _Wrong(f"The file is not JSON: line {error.lineno}, column {error.colno}.") from None


def _decimal(text: str) -> Decimal:
    """Read a number as it is written; one beyond all exponents is infinite."""
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("Infinity")


def _read(rows: list[Any]) -> tuple[list[HourFacts], list[str]]:
    hours, problems = [], []
    for number, row in enumerate(rows, start=1):
        try:
            facts, wrong = _hour(row)
        except _Wrong as error:
            problems.append(f"Hour {number}: {error}")
            continue
        problems += [
            f"Hour {number} ({facts.at:%Y-%m-%d} {hour(facts.at)}): {one}" for one in wrong
        ]
        hours.append(facts)
    return sorted(hours, key=lambda facts: facts.at), problems


def _hour(row: Any) -> tuple[HourFacts, list[str]]:
    """Return one hour and what is wrong with its values; raises _Wrong without a moment."""
    if not isinstance(row, dict):
        raise _Wrong("it must be an object with at, temperature_c and so on.")
    values: dict[str, Any] = {}
    wrong = [f"{_clipped(name)} is not a field of a forecast." for name in row.keys() - FIELDS]
    at = _moment(row.get("at"))
    for name in (*BOUNDS, "thunder"):
        try:
            values[name] = _value(name, row.get(name))
        except _Wrong as error:
            wrong.append(f"{name} {error}")
    return HourFacts(at, **values), sorted(wrong)


def _moment(value: Any) -> datetime:
    try:
        at = datetime.fromisoformat(value)
        at.astimezone(UTC)
    except (TypeError, ValueError, OverflowError):
        raise _Wrong("at must be a moment like 2026-05-09T09:00-04:00.") from None
    if at.tzinfo is None:
        raise _Wrong("at must say its offset from UTC, as in 2026-05-09T09:00-04:00.")
    if at.minute or at.second or at.microsecond:
        raise _Wrong(f"at must be a full hour, not {at:%H:%M:%S}.")
    return at


def _value(name: str, value: Any) -> Decimal | Thunder | None:
    if name == "thunder":
        return _thunder(value)
    number = _number(value)
    if wrong := _absurd(name, number):
        raise _Wrong(wrong)
    return number


def _number(value: Any) -> Decimal | None:
    if value is None:
        return None
    if not isinstance(value, Decimal):
        raise _Wrong(f"must be a number, not {_clipped(value)}.")
    if not value.is_finite():
        raise _Wrong(f"must be a number, not {value}.")
    if int(value.as_tuple().exponent) < -MOST_DECIMALS:
        raise _Wrong(f"has more than {MOST_DECIMALS} decimals.")
    return value


def _thunder(value: Any) -> Thunder:
    if value is None:
        return Thunder.UNKNOWN
    try:
        return Thunder(value)
    except ValueError:
        raise _Wrong(f'must be "yes", "no" or "unknown", not {_clipped(value)}.') from None


def _absurd(name: str, value: Number | None) -> str | None:
    """Return what is wrong with a number of a field; None: nothing."""
    low, high = BOUNDS[name]
    if value is None or low <= float(value) <= high:
        return None
    return f"must lie between {low} and {high}, not {_clipped(value)}."


def _absurd_values(
    hours: Iterable[HourFacts], lowest_before_c: Number | None, lowest_after_c: Number | None
) -> list[str]:
    lowest = {
        "The lowest temperature before": lowest_before_c,
        "The lowest temperature after": lowest_after_c,
    }
    found = [
        (f"{hour(facts.at)}: {name}", _absurd(name, getattr(facts, name)))
        for facts in hours
        for name in BOUNDS
    ]
    found += [(words, _absurd("temperature_c", value)) for words, value in lowest.items()]
    return [f"{words} {wrong}" for words, wrong in found if wrong]


def _doubles(hours: Sequence[HourFacts]) -> list[str]:
    """Return a sentence for each hour that comes more than once; hours are in order."""
    twice = {two.at for one, two in pairwise(hours) if one.at == two.at}
    return [f"{_when(at)} comes more than once." for at in sorted(twice)]


def _missing(hours: Sequence[HourFacts], window: Window) -> list[str]:
    """Return one sentence for each stretch of hours that a forecast for the day lacks."""
    there = {facts.at.astimezone(UTC) for facts in hours}
    zone = window.starts_at.tzinfo
    gaps: list[list[datetime]] = []
    for at in (at for at in horizon(window) if at not in there):
        if gaps and at - gaps[-1][-1] == HOUR:
            gaps[-1].append(at)
        else:
            gaps.append([at])
    return [_gap_words(gap, zone) for gap in gaps]


def _gap_words(gap: Sequence[datetime], zone: tzinfo | None) -> str:
    first, last = (_when(at.astimezone(zone)) for at in (gap[0], gap[-1]))
    if len(gap) == 1:
        return f"The hour {first} is missing."
    return f"{len(gap)} hours are missing, from {first} to {last}."


def _when(at: datetime) -> str:
    return f"{at:%Y-%m-%d} {hour(at)}"


def _reading(hours: Iterable[HourFacts], problems: Sequence[str]) -> Reading:
    """Return hours, or the problems: not more of them than a person reads."""
    if not problems:
        return Reading(tuple(hours))
    shown = list(problems[:MOST_PROBLEMS])
    more = len(problems) - len(shown)
    if more:
        shown.append(f"And {more} more like these.")
    return Reading(problems=tuple(shown))


def _clipped(value: Any) -> str:
    """Return a value as it stands in a sentence, never long."""
    text = json.dumps(str(value), ensure_ascii=True)
    return text if len(text) <= 40 else f"{text[:36]}..."
