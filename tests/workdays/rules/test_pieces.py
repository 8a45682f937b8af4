"""What may be noted of a loose piece, and who may still say where it belongs."""

from datetime import date
from typing import Any

import pytest

from workdays.rules.pieces import (
    Word,
    free_tag,
    refusals_to_judge,
    refusals_to_log,
    refusals_to_take_back,
)

TODAY = date(2026, 5, 6)
NO = Word(fits=False, who="Ada Bell", when="3 May 2026", why="too thin.")
YES = Word(fits=True, who="Ada Bell", when="3 May 2026")


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ({}, []),
        ({"tag": "l1"}, ["taken"]),
        ({"found_on": date(2026, 5, 7)}, ["future"]),
        ({"found_on": date(1899, 12, 31)}, ["too-old"]),
        ({"letters": "KA / N[E"}, ["brackets"]),
        ({"letters": "KA[. / .]"}, ["brackets"]),
        ({"letters": "KA[.] / [N]E"}, []),
        ({"section_here": False}, ["elsewhere"]),
    ],
)
def test_a_piece_is_noted_with_a_tag_of_its_own_and_a_day_that_was(
    said: dict[str, Any], expected: list[str]
) -> None:
    given: dict[str, Any] = {"tag": "L2", "found_on": TODAY, "letters": "KAN"} | said
    found = refusals_to_log(**given, taken={"L1"}, today=TODAY)
    assert [refusal.code for refusal in found] == expected


def test_a_tag_that_is_borne_names_one_that_is_free() -> None:
    (refusal,) = refusals_to_log("L1", TODAY, "", taken={"L1", "l2"}, today=TODAY)
    assert refusal.sentence == "There is already a piece L1 here. L3 is free."
    assert free_tag(set()) == "L1"


@pytest.mark.parametrize(
    ("case", "expected"),
    [
        ({}, []),
        ({"fits": False, "why": "too thin"}, []),
        ({"fits": False}, ["no-why"]),
        ({"same_cemetery": False}, ["elsewhere"]),
        ({"said": YES}, ["said"]),
        ({"said": NO}, ["said-otherwise"]),
        ({"said": YES, "fits": False, "why": "too thin"}, ["said-otherwise"]),
        ({"said": NO, "fits": False, "why": "again"}, ["said"]),
        ({"belongs_to": "A1"}, ["placed"]),
        ({"belongs_to": "A1", "fits": False, "why": "too thin"}, []),
    ],
)
def test_one_word_holds_for_a_pair_and_one_home_for_a_piece(
    case: dict[str, Any], expected: list[str]
) -> None:
    given: dict[str, Any] = {"same_cemetery": True, "fits": True, "why": "", "said": None}
    given |= {"belongs_to": ""} | case
    assert [refusal.code for refusal in refusals_to_judge(**given)] == expected


def test_a_refusal_says_who_said_it_when_and_why() -> None:
    (refusal,) = refusals_to_judge(same_cemetery=True, fits=True, why="", said=NO, belongs_to="")
    assert refusal.sentence.startswith(
        "Ada Bell said on 3 May 2026 that it does not belong there: too thin. Take that word back"
    )


def test_a_word_is_taken_back_with_a_reason_only() -> None:
    assert refusals_to_take_back("I held it the wrong way round.") == []
    assert [refusal.code for refusal in refusals_to_take_back("")] == ["no-why"]
