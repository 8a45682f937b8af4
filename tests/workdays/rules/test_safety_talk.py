"""The safety talk: what is said for which work, people and weather, and from where it is."""

from dataclasses import replace

import pytest

from workdays.rules.lift_cautions import Line
from workdays.rules.safety_talk import LAST, talk
from workdays.rules.talk_facts import Bite, TalkFacts, TalkKind, TalkPeople, TalkWeather
from workdays.rules.talk_weather import NO_FORECAST, may_be_hot, weather_lines
from workdays.rules.weather import Thunder

CLEANING = TalkKind("Gentle cleaning", "Water first.", wets=True, crews=("Crew 1", "Crew 2"))
RESETTING = TalkKind("Resetting", "Dig free first.", lifts=True, digs=True, adults_only=True)
MENDING = TalkKind("Mending", "As told.", lifts=True, wets=True, mixed=True, mends=True)
MILD = TalkWeather(68.0, "14:00", (55.0, 70.0), 5.0, Thunder.NO)


def parts(facts: TalkFacts) -> dict[str, list[Line]]:
    return {part.key: list(part.lines) for part in talk(facts)}


def said(facts: TalkFacts) -> str:
    return " ".join(line.sentence for part in talk(facts) for line in part.lines)


def test_a_day_of_cleaning_says_nothing_of_lifting_and_ends_with_who_decides() -> None:
    found = talk(TalkFacts((CLEANING,), weather=MILD))
    assert [part.key for part in found] == ["first", "weather", "kind-1", "last"]
    assert found[2].heading == "Gentle cleaning (Crew 1 and Crew 2)"
    assert found[2].lines[0].sentence == "Water first."
    assert found[-1].lines == (LAST,)


def test_every_line_but_the_last_says_where_it_is_from() -> None:
    facts = TalkFacts(
        (CLEANING, RESETTING, MENDING),
        TalkPeople(2, 1, (("Crew 2", ("Spanish",)),)),
        hoist=True,
        bonds=True,
        ladder_stones=("A-1",),
        dig_notice="3 working days",
    )
    for facts_of_day in (facts, replace(facts, weather=MILD)):
        lines = [line for part in talk(facts_of_day) for line in part.lines]
        assert [line for line in lines if not line.source] == [LAST]


def test_lifting_digging_and_mending_bring_their_own_parts() -> None:
    reset = parts(TalkFacts((RESETTING,), dig_notice="3 working days"))
    assert {"lifting", "digging"} <= set(reset)
    assert "mending" not in reset
    assert "Notice here: 3 working days before." in reset["digging"][0].sentence
    hoisted = parts(TalkFacts((RESETTING,), hoist=True))
    assert len(hoisted["lifting"]) == len(reset["lifting"]) + 2
    mending = said(TalkFacts((MENDING,), bonds=True))
    assert "Lime burns skin and eyes" in mending
    assert "Epoxy: the conservator mixes" in mending
    assert "Epoxy" not in said(TalkFacts((MENDING,)))


def test_who_is_there_is_said_without_names() -> None:
    people = TalkPeople(1, 2, (("Crew 2", ("Spanish", "German")),))
    lines = parts(TalkFacts((CLEANING, RESETTING), people))["people"]
    assert lines[0].sentence == (
        "1 person is under age and stays with the guardian, in one crew. None lifts or stands "
        "where anything is lifted. None is at resetting."
    )
    assert lines[1].sentence.startswith("2 people do light work: ask them for no lift")
    assert "says all of this in Spanish and German" in lines[2].sentence
    assert "people" not in parts(TalkFacts((CLEANING,), TalkPeople()))


def test_many_tall_stones_are_not_all_named() -> None:
    tall = tuple(f"A-{n}" for n in range(9))
    (line,) = parts(TalkFacts((CLEANING,), ladder_stones=tall))["tall"]
    assert "A-0, A-1, A-2, A-3, A-4, A-5 and others." in line.sentence


def test_without_work_that_is_said() -> None:
    assert "No work is planned yet" in said(TalkFacts())


def test_without_a_forecast_that_is_said_and_the_plain_lines_stand() -> None:
    lines = weather_lines(TalkFacts((CLEANING,)))
    assert lines[0] == NO_FORECAST
    words = " ".join(line.sentence for line in lines)
    for word in ("thunder", "Drink", "cold", "windy", "Cramps"):
        assert word in words
    assert may_be_hot(None)


@pytest.mark.parametrize(
    ("heat_f", "word", "signs", "hot"),
    [
        (79.9, "no limit is near", False, False),
        (80.0, "lower", False, False),
        (90.9, "lower", False, False),
        (91.0, "moderate", True, True),
        (102.9, "moderate", True, True),
        (103.0, "No resets and no lifting", True, True),
        (115.0, "Nobody works", True, True),
        (None, "not known", True, True),
    ],
)
def test_heat_is_said_by_the_classes_of_osha(
    heat_f: float | None, word: str, signs: bool, hot: bool
) -> None:
    weather = replace(MILD, heat_f=heat_f)
    words = " ".join(line.sentence for line in weather_lines(TalkFacts(weather=weather)))
    assert word in words
    assert ("Confused" in words) == signs
    assert may_be_hot(weather) == hot


def test_cold_wind_thunder_and_limits_are_said_where_they_come() -> None:
    bite = Bite(("Gentle cleaning",), "9:00 to 11:00", "off", "Air 38 F.", "a maker")
    weather = replace(MILD, air_f=(38.0, 60.0), gust_mph=24.4, thunder=Thunder.YES, bites=(bite,))
    lines = weather_lines(TalkFacts((CLEANING,), weather=weather))
    assert lines[0] == Line("Gentle cleaning, 9:00 to 11:00: off. Air 38 F.", "a maker")
    words = " ".join(line.sentence for line in lines)
    assert "Thunder is forecast." in words
    assert "Down to 38 F" in words
    assert "Gusts up to 24.4 mph" in words
    calm = " ".join(line.sentence for line in weather_lines(TalkFacts(weather=MILD)))
    assert "30 minutes after the last thunder" in calm
    assert "Gusts" not in calm
    unknown = weather_lines(
        TalkFacts(weather=replace(MILD, thunder=Thunder.UNKNOWN, gust_mph=None))
    )
    assert any("Whether thunder comes is not known." in line.sentence for line in unknown)
    assert any("If it is windy" in line.sentence for line in unknown)
