"""On, watch or off for each kind of work in each hour, from a forecast and rows of limits.

A limit is a row: whom it concerns, what is measured, from which value on, in its source's unit.
What is unknown is watch. Air or stone within 2.0 C of a limit on the safe side is watch; heat
steps hold "at or above" without margin. Where the stone's temperature is absent the air's is
taken, and said so. Hours are those of the clock at the place; one begins at its `at`.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from fractions import Fraction

from workdays.rules.heat_index import heat_index
from workdays.rules.kinds import KindFacts
from workdays.rules.units import (
    Number,
    exact,
    fahrenheit,
    fahrenheit_difference,
    in_unit,
    plain,
)
from workdays.rules.wall_clock import hour

HOUR = timedelta(hours=1)
WATCH_MARGIN_C = 2
NOISE_PLACES = 6  # what a computed index may be off by in binary, far below its fit of 1.3 F


class Verdict(StrEnum):
    """The word for one kind of work in one hour."""

    ON = "on"
    WATCH = "watch"
    OFF = "off"


SEVERITY = {Verdict.ON: 0, Verdict.WATCH: 1, Verdict.OFF: 2}


class Thunder(StrEnum):
    """Whether thunder is forecast for an hour."""

    YES = "yes"
    NO = "no"
    UNKNOWN = "unknown"


class Applies(StrEnum):
    """Whom a limit concerns: a group of kinds of work by their flags."""

    EVERY = "every"
    WET = "wet"
    LIFTING = "lifting"
    HEAVY = "heavy"
    BATCH = "batch"


class Measure(StrEnum):
    """What a limit looks at."""

    AIR = "air"
    STONE = "stone"
    HEAT_INDEX = "heat_index"
    WIND = "wind"
    GUST = "gust"
    RAIN = "rain"
    RAIN_CHANCE = "rain_chance"
    THUNDER = "thunder"


class Comparison(StrEnum):
    """On which side of its value a limit bites; the value itself belongs to that side."""

    AT_OR_BELOW = "at_or_below"
    AT_OR_ABOVE = "at_or_above"
    HAPPENS = "happens"


MEASURE_WORDS: dict[Measure, str] = {
    Measure.AIR: "Air",
    Measure.STONE: "Stone",
    Measure.HEAT_INDEX: "Heat index",
    Measure.WIND: "Wind",
    Measure.GUST: "Gusts",
    Measure.RAIN: "Rain",
    Measure.RAIN_CHANCE: "Chance of rain",
    Measure.THUNDER: "Thunder",
}
UNIT_WORDS = {"F": "\N{DEGREE SIGN}F", "C": "\N{DEGREE SIGN}C"}
UNITS = ("F", "C", "mph", "km/h", "mm", "%", "")


@dataclass(frozen=True, slots=True)
class HourFacts:
    """The forecast of one hour. `at` is aware; None: not known.

    Absent `stone_temperature_c` means that the air's is taken for it.
    """

    at: datetime
    temperature_c: Number | None = None
    humidity_percent: Number | None = None
    wind_kmh: Number | None = None
    gust_kmh: Number | None = None
    rain_mm: Number | None = None
    rain_chance_percent: Number | None = None
    thunder: Thunder = Thunder.UNKNOWN
    stone_temperature_c: Number | None = None


@dataclass(frozen=True, slots=True)
class LimitFacts:
    """One limit. `value` in `unit` (F, C, mph, km/h, mm, %); None for what simply happens.

    `hours_before` and `hours_after`: how far around the hour of work it looks.
    `sentence` says the rule, `source` where it was published.
    """

    key: str
    applies_to: Applies
    measure: Measure
    comparison: Comparison
    value: Number | None
    unit: str
    verdict: Verdict
    sentence: str
    source: str
    hours_before: int = 0
    hours_after: int = 0

    def __post_init__(self) -> None:
        """Refuse a row that could never bite: ValueError."""
        if self.unit not in UNITS:
            raise ValueError(f"{self.key}: unit {self.unit!r} is not one of {', '.join(UNITS)}")
        if (self.value is None) != (self.measure is Measure.THUNDER):
            raise ValueError(f"{self.key}: thunder has no value, everything else needs one")


@dataclass(frozen=True, slots=True)
class HourReason:
    """Why an hour is not simply on; `limit` is the key of the row."""

    verdict: Verdict
    sentence: str
    source: str
    limit: str


@dataclass(frozen=True, slots=True)
class HourVerdict:
    """The word for one hour with its reasons, gravest first."""

    at: datetime
    verdict: Verdict
    reasons: tuple[HourReason, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Window:
    """From when to when a day lasts; both aware, in the zone of the place."""

    starts_at: datetime
    ends_at: datetime


Forecast = Mapping[datetime, HourFacts]


def verdicts(
    kinds: Iterable[KindFacts],
    *,
    limits: Sequence[LimitFacts],
    hours: Iterable[HourFacts],
    window: Window,
) -> dict[str, tuple[HourVerdict, ...]]:
    """Return for each kind (by key) the verdict of every hour that the window touches."""
    forecast = {facts.at.astimezone(UTC): facts for facts in hours}
    moments = hours_of(window)
    found = {(limit.key, at): _judged(limit, forecast, at) for limit in limits for at in moments}
    return {
        kind.key: tuple(
            _hour_verdict(at, [found[limit.key, at] for limit in limits if concerns(limit, kind)])
            for at in moments
        )
        for kind in kinds
    }


def hours_of(window: Window) -> tuple[datetime, ...]:
    """Return the clock hours that a window touches, in its zone, right on both clock changes."""
    zone = window.starts_at.tzinfo
    at = window.starts_at.replace(minute=0, second=0, microsecond=0).astimezone(UTC)
    moments = []
    while at < window.ends_at:
        moments.append(at.astimezone(zone))
        at += HOUR
    return tuple(moments)


def concerns(limit: LimitFacts, kind: KindFacts) -> bool:
    """Whether a limit is about a kind of work, by its flags."""
    return {
        Applies.EVERY: True,
        Applies.WET: kind.wets,
        Applies.LIFTING: kind.lifts,
        Applies.HEAVY: kind.heavy,
        Applies.BATCH: kind.mixed_batch,
    }[limit.applies_to]


def gravest(words: Iterable[Verdict]) -> Verdict:
    """Return the gravest of some verdicts; on when there are none."""
    return max(words, key=SEVERITY.__getitem__, default=Verdict.ON)


def assumptions(hours: Iterable[HourFacts]) -> list[str]:
    """Return sentences on what the verdicts take for granted."""
    known = [facts for facts in hours if facts.temperature_c is not None]
    if not known or all(facts.stone_temperature_c is not None for facts in known):
        return []
    return ["Where the stone's temperature is not given, the air's is taken for it."]


def heat_index_of(facts: HourFacts) -> float | None:
    """Return the heat index in degrees Fahrenheit; None when air or humidity is not known."""
    if facts.temperature_c is None or facts.humidity_percent is None:
        return None
    return heat_index(float(fahrenheit(facts.temperature_c)), float(facts.humidity_percent))


def _hour_verdict(at: datetime, found: Iterable[HourReason | None]) -> HourVerdict:
    reasons = sorted(
        (reason for reason in found if reason is not None),
        key=lambda reason: -SEVERITY[reason.verdict],
    )
    return HourVerdict(at, gravest(reason.verdict for reason in reasons), tuple(reasons))


def _judged(limit: LimitFacts, forecast: Forecast, at: datetime) -> HourReason | None:
    """Return what one limit says of the work of one hour; None: nothing against it.

    Looks at the hour itself first, then at the nearest ones.
    """
    around = sorted(range(-limit.hours_before, limit.hours_after + 1), key=lambda n: (abs(n), n))
    utc = at.astimezone(UTC)
    moments = [utc + n * HOUR for n in around]
    near: HourReason | None = None
    for moment in moments:
        facts = forecast.get(moment)
        if facts is not None and _bites(limit, facts):
            return _reason(limit, limit.verdict, _found_words(limit, facts, at))
        if near is None and facts is not None and _is_near(limit, facts):
            near = _reason(limit, Verdict.WATCH, f"{_found_words(limit, facts, at)}: close.")
    return near or _unknown(limit, forecast, moments)


def _reason(limit: LimitFacts, verdict: Verdict, words: str) -> HourReason:
    sentence = f"{words.removesuffix('.')}. {limit.sentence}"
    return HourReason(verdict, sentence, limit.source, limit.key)


def _measured(limit: LimitFacts, facts: HourFacts) -> Fraction | None:
    """Return the measured value in the limit's unit; None: not known."""
    if limit.measure is Measure.HEAT_INDEX:
        index = heat_index_of(facts)
        return None if index is None else exact(round(index, NOISE_PLACES))
    stored = {
        Measure.AIR: facts.temperature_c,
        Measure.STONE: _stone(facts),
        Measure.WIND: facts.wind_kmh,
        Measure.GUST: facts.gust_kmh,
        Measure.RAIN: facts.rain_mm,
        Measure.RAIN_CHANCE: facts.rain_chance_percent,
    }[limit.measure]
    return None if stored is None else in_unit(stored, limit.unit)


def _stone(facts: HourFacts) -> Number | None:
    return facts.temperature_c if facts.stone_temperature_c is None else facts.stone_temperature_c


def _is_known(limit: LimitFacts, facts: HourFacts) -> bool:
    if limit.measure is Measure.THUNDER:
        return facts.thunder is not Thunder.UNKNOWN
    return _measured(limit, facts) is not None


def _bites(limit: LimitFacts, facts: HourFacts) -> bool:
    if limit.measure is Measure.THUNDER:
        return facts.thunder is Thunder.YES
    distance = _distance(limit, facts)
    return distance is not None and distance <= 0


def _is_near(limit: LimitFacts, facts: HourFacts) -> bool:
    """Whether air or stone is on the safe side, but no more than 2.0 C away."""
    if limit.measure not in (Measure.AIR, Measure.STONE):
        return False
    margin = fahrenheit_difference(WATCH_MARGIN_C) if limit.unit == "F" else WATCH_MARGIN_C
    distance = _distance(limit, facts)
    return distance is not None and distance <= margin


def _distance(limit: LimitFacts, facts: HourFacts) -> Fraction | None:
    """Return how far the value is from the limit, positive on the safe side."""
    value = _measured(limit, facts)
    if value is None or limit.value is None:
        return None
    away = value - exact(limit.value)
    return away if limit.comparison is Comparison.AT_OR_BELOW else -away


def _found_words(limit: LimitFacts, facts: HourFacts, at: datetime) -> str:
    """Return what was found and when: "Air 39 °F", "Air 31 °F at 3:00 on Sunday"."""
    value = _measured_words(limit, facts)
    shown = facts.at.astimezone(at.tzinfo)
    if shown == at:
        return value
    day = "" if shown.date() == at.date() else f" on {shown:%A}"
    return f"{value} at {hour(shown)}{day}"


def _measured_words(limit: LimitFacts, facts: HourFacts) -> str:
    words = MEASURE_WORDS[limit.measure]
    value = None if limit.measure is Measure.THUNDER else _measured(limit, facts)
    if value is None:
        return words
    if limit.measure is Measure.STONE and facts.stone_temperature_c is None:
        words = "Stone (not given, taken as the air)"
    return f"{words} {plain(value)} {UNIT_WORDS.get(limit.unit, limit.unit)}"


def _unknown(
    limit: LimitFacts, forecast: Forecast, moments: Sequence[datetime]
) -> HourReason | None:
    """Return a watch for what is not known.

    Thunder of an hour gone by is heard, not forecast: only the hour itself can be unknown.
    """
    asked = moments[:1] if limit.measure is Measure.THUNDER else moments
    missing = [
        moment
        for moment in asked
        if moment not in forecast or not _is_known(limit, forecast[moment])
    ]
    if not missing:
        return None
    words = f"{MEASURE_WORDS[limit.measure]} not known"
    if len(asked) > 1:
        words += f" for {len(missing)} of the {len(asked)} hours around"
    return _reason(limit, Verdict.WATCH, words)
