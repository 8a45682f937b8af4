"""What a safety talk says of heat, cold, wind and thunder, by the forecast or plainly."""

from __future__ import annotations

from collections.abc import Iterable

from workdays.rules.lift_cautions import Line
from workdays.rules.published import COMMON_PRACTICE
from workdays.rules.talk_facts import Bite, TalkFacts, TalkWeather
from workdays.rules.units import plain
from workdays.rules.weather import Thunder
from workdays.rules.weather_limits import LIGHTNING, OSHA

MODERATE_F, HIGH_F, EXTREME_F = 91, 103, 115
WARM_F, CHILLY_F, WINDY_MPH = 80, 50, 20
PRACTICE = COMMON_PRACTICE.words
HEAT_SIGNS = Line(
    "Cramps, dizziness, headache, sickness: shade, water, tell the lead. Confused, fainting or no "
    "longer sweating: ring for an ambulance, cool with water at once.",
    f"OSHA teaches the signs; the words: {PRACTICE}",
)
PLAIN_HEAT = Line(
    "Drink before you are thirsty, rest in the shade, look out for one another.",
    f"{OSHA}; National Park Service, cemetery preservation course: water, shade, breaks",
)
PLAIN_COLD = Line(
    "If it is cold: dry layers and dry gloves; no water on a stone if it may freeze within a day.",
    f"a cleaner maker's technical answer (name withheld); clothes: {PRACTICE}",
)
PLAIN_WIND = Line(
    "If it is windy: stay out from under trees, take tents down, lift nothing that can swing.",
    PRACTICE,
)
NO_FORECAST = Line(
    "There is no forecast for this day: look at the sky, ask somebody with a radio or telephone, "
    "and call the work off in doubt.",
    PRACTICE,
)


def weather_lines(facts: TalkFacts) -> list[Line]:
    """Return the lines on weather; without a forecast that is said, and the plain lines."""
    weather = facts.weather
    if weather is None:
        return [NO_FORECAST, thunder_line(facts), PLAIN_HEAT, HEAT_SIGNS, PLAIN_COLD, PLAIN_WIND]
    lines = [*_bites(weather.bites), thunder_line(facts), *_heat(weather)]
    if weather.air_f and weather.air_f[0] <= CHILLY_F:
        cold = (
            f"Down to {plain(weather.air_f[0])} F: dry layers, dry gloves, something warm to drink."
        )
        lines.append(Line(cold, PRACTICE))
    lines += _wind(weather)
    return lines


def may_be_hot(weather: TalkWeather | None) -> bool:
    """Return whether the heat index may reach the moderate class; not known counts as yes."""
    return weather is None or weather.heat_f is None or weather.heat_f >= MODERATE_F


def thunder_line(facts: TalkFacts) -> Line:
    """Return when to stop for thunder and where to go; first what is forecast."""
    known = {
        Thunder.YES: "Thunder is forecast. ",
        Thunder.NO: "",
        Thunder.UNKNOWN: "Whether thunder comes is not known. " if facts.weather else "",
    }[facts.weather.thunder if facts.weather else Thunder.UNKNOWN]
    sentence = (
        f"{known}At the first thunder or flash everybody stops and goes into a closed building or "
        "a car with a metal roof, never under a tree or a tent. Back 30 minutes after the last "
        "thunder. The lead says now where that is."
    )
    return Line(sentence, LIGHTNING)


def _bites(bites: Iterable[Bite]) -> Iterable[Line]:
    for bite in bites:
        work = ", ".join(bite.kinds)
        yield Line(f"{work}, {bite.hours}: {bite.word}. {bite.sentence}", bite.source)


def _heat(weather: TalkWeather) -> list[Line]:
    """Return what to do by the class of heat; not known counts as the second class."""
    if weather.heat_f is None:
        unknown = (
            "How hot it will feel is not known: a cup of water each quarter hour, shaded rest."
        )
        return [Line(unknown, OSHA), HEAT_SIGNS]
    felt = f"Heat index up to {plain(round(weather.heat_f, 1))} F at {weather.hottest_at}"
    if weather.heat_f >= EXTREME_F:
        return [Line(f"{felt}: very high. Nobody works.", OSHA), HEAT_SIGNS]
    if weather.heat_f >= HIGH_F:
        rest = (
            "high. No resets and no lifting; the rest in the cool hours, by turns with shaded rest."
        )
        return [Line(f"{felt}: {rest} A quart of water an hour.", OSHA), HEAT_SIGNS]
    if weather.heat_f >= MODERATE_F:
        rest = "A cup of water each quarter hour, shaded rest, watch one another."
        return [Line(f"{felt}: moderate. {rest} Full sun adds up to 15 F.", OSHA), HEAT_SIGNS]
    if weather.heat_f >= WARM_F:
        return [
            Line(f"{felt}: lower. Water close by, shaded rest. Full sun adds up to 15 F.", OSHA)
        ]
    return [Line(f"{felt}: no limit is near. Water close by all the same.", OSHA)]


def _wind(weather: TalkWeather) -> list[Line]:
    if weather.gust_mph is None:
        return [PLAIN_WIND]
    if weather.gust_mph < WINDY_MPH:
        return []
    gusts = f"Gusts up to {plain(round(weather.gust_mph, 1))} mph"
    return [
        Line(f"{gusts}: out from under trees, tents down, lift nothing that can swing.", PRACTICE)
    ]
