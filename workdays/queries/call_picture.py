"""The weather of a day as a picture: its curve in Fahrenheit, a strip for each kind of work."""

from collections.abc import Iterable, Sequence

from workdays.drawing.hours import (
    CellFacts,
    HourFacts,
    LimitFacts,
    Picture,
    StripFacts,
    WeatherFacts,
    draw,
)
from workdays.queries.weather import Outlook
from workdays.rules import weather
from workdays.rules.kinds import KindFacts
from workdays.rules.units import Number, exact, fahrenheit, plain
from workdays.rules.wall_clock import hour
from workdays.rules.weather import HourVerdict, Measure, concerns


def picture(found: Outlook, meant: Sequence[KindFacts], *, title: str) -> Picture:
    """Return the weather of a day ready to be drawn, for the kinds of work meant for it."""
    strips = tuple(
        StripFacts(kind.name, tuple(_cell(row) for row in found.verdicts[kind.key]))
        for kind in meant
    )
    facts = WeatherFacts(
        title=title,
        hours=_hours(found),
        strips=strips,
        limits=_limits(found.limits, meant),
        measure="Air, \N{DEGREE SIGN}F",
    )
    return draw(facts)


def _hours(found: Outlook) -> tuple[HourFacts, ...]:
    forecast = {facts.at.timestamp(): facts.temperature_c for facts in found.hours}
    found_in_f = []
    for at in weather.hours_of(found.window):
        celsius = forecast.get(at.timestamp())
        found_in_f.append(HourFacts(hour(at), None if celsius is None else _shown(celsius)))
    return tuple(found_in_f)


def _shown(celsius: Number) -> float:
    return float(round(fahrenheit(celsius), 1))


def _cell(row: HourVerdict) -> CellFacts:
    return CellFacts(row.verdict.value, " ".join(reason.sentence for reason in row.reasons))


def _limits(
    limits: Iterable[weather.LimitFacts], meant: Sequence[KindFacts]
) -> tuple[LimitFacts, ...]:
    """Return the lines that the air of the hour itself is held against, each value once."""
    drawn: dict[float, LimitFacts] = {}
    for limit in limits:
        looks_here = limit.measure is Measure.AIR and not limit.hours_before + limit.hours_after
        if limit.value is None or not looks_here or not any(concerns(limit, k) for k in meant):
            continue
        value = fahrenheit(limit.value) if limit.unit == "C" else exact(limit.value)
        words = f"limit {plain(value)} \N{DEGREE SIGN}F"
        drawn.setdefault(float(value), LimitFacts(float(value), words))
    return tuple(drawn.values())
