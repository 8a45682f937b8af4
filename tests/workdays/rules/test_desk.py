"""What a day lacks, each from both sides, and the words for people."""

from dataclasses import replace
from typing import Any

import pytest

from training.rules.standing import Level
from workdays.rules import desk
from workdays.rules.desk import DeskFacts, PartyFacts, Work

CLEANING = Work("Gentle cleaning", 6, "cleaning", Level.SIGNED_OFF, False, {"bucket": 4})
FULL = DeskFacts(
    coming=6,
    fewest=4,
    leads=2,
    levels=({"cleaning": Level.SIGNED_OFF}, {"cleaning": Level.NEW}),
    without_waiver=0,
    open_questions=0,
    work=(CLEANING,),
    there={"bucket": 4},
)


def codes(facts: DeskFacts) -> list[str]:
    return [gap.code for gap in desk.gaps(facts)]


def test_a_day_with_everything_lacks_nothing() -> None:
    assert codes(FULL) == []


@pytest.mark.parametrize(
    ("change", "code", "sentence"),
    [
        ({"coming": 3}, "few", "Three people come; 4 are the fewest for this day."),
        ({"coming": 1}, "few", "One person comes; 4 are the fewest for this day."),
        (
            {"without_waiver": 2},
            "waiver",
            "Two people who come have no valid waiver and cannot be in the plan.",
        ),
        ({"open_questions": 1}, "question", "One person has not said yes to the new date yet."),
        ({"leads": 0}, "lead", "Nobody who comes leads a crew."),
        ({"work": ()}, "jobs", "No job is chosen for this day."),
        (
            {"levels": ({"cleaning": Level.PRACTISED},)},
            "leader_cleaning",
            "Nobody who comes is signed off in gentle cleaning; six jobs need it.",
        ),
        ({"there": {"bucket": 3}}, "equipment", "Bucket: a job needs 4; 3 are there."),
        ({"there": {}}, "equipment", "Bucket: a job needs 4; none is there."),
        (
            {"rain_date_covered": False},
            "rain",
            "No permission of the owner covers the rain date.",
        ),
    ],
)
def test_each_gap_is_said(change: dict[str, Any], code: str, sentence: str) -> None:
    found = desk.gaps(replace(FULL, **change))
    assert [(gap.code, gap.sentence) for gap in found] == [(code, sentence)]


def test_a_reset_asks_for_a_supervisor_among_those_who_come() -> None:
    reset = Work("Resetting", 1, "resetting", Level.SIGNED_OFF, True)
    facts = replace(FULL, work=(reset,), levels=({"resetting": Level.SIGNED_OFF},))
    assert (
        desk.gaps(facts)[0].sentence == "Nobody who comes supervises resetting; one job needs it."
    )
    assert codes(replace(facts, levels=({"resetting": Level.SUPERVISOR},))) == []


def test_with_nobody_coming_leads_and_levels_are_not_asked_for() -> None:
    empty = replace(FULL, coming=0, leads=0, levels=())
    assert [gap.sentence for gap in desk.gaps(empty)] == [
        "Nobody comes; 4 are the fewest for this day."
    ]


def test_raking_needs_nobody_signed_off() -> None:
    raking = Work("Raking", 3, "", Level.NEW, False)
    assert codes(replace(FULL, work=(raking,), levels=({},))) == []


def test_limits_are_words() -> None:
    assert desk.limits(lift=True, kneel=False, stand=True) == "no lifting, no long standing"
    assert desk.limits(lift=False, kneel=False, stand=False) == ""


@pytest.mark.parametrize(
    ("party", "words"),
    [
        (None, ""),
        (PartyFacts("with Ana Costa", leader="Ana Costa"), "with Ana Costa"),
        (
            PartyFacts("with Ana Costa", leader="Ana Costa", is_leader=True, others=3),
            "brings three others",
        ),
        (PartyFacts("with Ana Costa", leader="Ana Costa", is_leader=True), ""),
        (PartyFacts("Troop 12", True, "Lea Moss"), "Troop 12, led by Lea Moss"),
        (PartyFacts("Troop 12", True, "Lea Moss", is_leader=True), "leads Troop 12"),
        (PartyFacts("The Marshes"), "The Marshes"),
        (PartyFacts(""), ""),
    ],
)
def test_nobody_is_with_themselves(party: PartyFacts | None, words: str) -> None:
    assert desk.party_words(party) == words


def test_what_people_bring_is_words() -> None:
    assert desk.bring_words({"bucket": 2, "x": 1}, {"bucket": "bucket"}) == "2 x bucket, 1 x x"
    assert desk.level_part("Raking", Level.TAUGHT) == "raking: taught or above"
    assert desk.level_part("Raking", Level.SUPERVISOR) == "raking: supervisor"


def test_levels_are_words_the_highest_first() -> None:
    names = {"cleaning": "Gentle cleaning"}
    levels = {"raking": Level.TAUGHT, "cleaning": Level.SUPERVISOR, "mending": Level.NEW}
    assert desk.level_words(levels, names) == "gentle cleaning: supervisor, raking: taught"
    assert desk.level_words({}, names) == "new"
