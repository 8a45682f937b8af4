"""The advice on a lift. Tripods: 2,000 lb the least capacity published; 300 lb: trained riggers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.lift_cautions import CAUTIONS
from workdays.rules.lifting import Advice, LiftFacts, Outcome, advice, lift_gaps
from workdays.rules.weights import Weight

SMALL = LiftFacts(Weight(5, 7), 300, thickness_cm=5)


def of(kg: int, **changes: object) -> Advice:
    return advice(replace(SMALL, weight=Weight(kg // 2, kg), **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("kg", "outcome", "lifters", "crew"),
    [
        (7, Outcome.HANDS, 1, 2),
        (8, Outcome.HANDS, 2, 2),
        (10, Outcome.HANDS, 3, 3),
        (11, Outcome.CLAMP, 2, 2),
        (21, Outcome.CLAMP, 2, 2),
        (24, Outcome.CLAMP, 3, 3),
        (25, Outcome.HOIST, 2, 3),
        (136, Outcome.HOIST, 2, 3),
        (137, Outcome.RIGGERS, 2, 3),
        (907, Outcome.RIGGERS, 2, 3),
        (908, Outcome.NOT_VOLUNTEERS, 0, 0),
    ],
)
def test_the_heavier_end_decides_how_a_stone_is_lifted(
    kg: int, outcome: Outcome, lifters: int, crew: int
) -> None:
    found = of(kg)
    assert (found.outcome, found.lifters, found.crew) == (outcome, lifters, crew)


def test_the_limit_is_the_cemeterys() -> None:
    assert of(100, limit_lb=200).outcome is Outcome.RIGGERS
    assert "200 lb" in of(100, limit_lb=200).reasons[0].sentence


def test_what_is_barred_is_not_by_volunteers_whatever_it_weighs() -> None:
    light = of(7, barred=("Nobody has surveyed it.",))
    assert light.outcome is Outcome.NOT_VOLUNTEERS
    assert [line.sentence for line in light.reasons] == ["Nobody has surveyed it."]
    assert len(of(500, barred=("No.",)).reasons) == 2
    unknown = advice(LiftFacts(None, 300, barred=("No.",)))
    assert unknown.outcome is Outcome.NOT_VOLUNTEERS


def test_an_unknown_weight_is_measured_and_a_hollow_marker_weighed() -> None:
    unknown = advice(LiftFacts(None, 300))
    assert unknown.outcome is Outcome.NOT_KNOWN
    assert "measure it" in unknown.short
    assert "weigh it" in advice(LiftFacts(None, 300, hollow=True)).sentence
    assert unknown.equation == ()


def test_the_words_name_weight_and_hands() -> None:
    assert of(7).short == "about 7 to 15 lb (3 to 7 kg): by hands, 1 person, never alone"
    assert of(20).short.endswith("2 people with a clamp")
    assert of(200).short.endswith("a hoist and trained riggers only")


def test_the_equation_is_a_warning_with_its_limits_never_a_clearance() -> None:
    for kg in (7, 200):
        found = of(kg)
        assert "times that" in found.equation[0].sentence
        assert "never leave to lift" in found.equation[1].sentence
        assert "kneeling" in found.equation[1].sentence
    assert "nothing at all" in of(50, thickness_cm=100).equation[0].sentence


def test_the_equation_for_a_stone_five_centimetres_thick() -> None:
    """51 x 10 / 10.98 x 0.82 x 0.92 x 0.9 = 31.5 lb; 44.1 lb are 1.4 times that."""
    said = of(20).equation[0].sentence
    assert "at most 32 lb (14 kg)" in said
    assert "1.4 times" in said


def test_every_advice_carries_the_usual_cautions_and_the_deferral() -> None:
    said = " ".join(line.sentence for line in of(7).cautions)
    for words in ("fall zone", "under a load", "sling", "calls each lift", "Local law"):
        assert words in said
    assert of(7).cautions == CAUTIONS


def gaps(found: Advice, lifters: int = 3, fewest: int = 3, *equipment: str) -> list[str]:
    return lift_gaps(found, lifters=lifters, fewest=fewest, equipment=frozenset(equipment))


def test_a_job_with_too_few_hands_or_no_hoist_is_warned_of() -> None:
    assert gaps(of(7)) == []
    assert gaps(of(10), 2, 2) == [
        "3 people must be able to lift; the job asks for 2.",
        "3 people are needed at the stone; 2 could be sent.",
    ]
    assert gaps(of(20)) == ["Its equipment names no clamp."]
    assert gaps(of(20), 3, 3, "clamp") == gaps(of(20), 3, 3, "hoist") == []
    assert gaps(of(100)) == ["Its equipment names no hoist."]
    assert gaps(of(100), 3, 3, "hoist") == []


def test_riggers_are_warned_of_even_with_a_hoist() -> None:
    (said,) = gaps(of(200), 3, 3, "hoist")
    assert said == (
        "A hoist and trained riggers only; say who they are before the day. It may weigh over 300 "
        "lb, the limit of this cemetery."
    )
    assert gaps(of(908)) == [
        "Not by volunteers. It may weigh over 2000 lb, the least capacity published for a tripod: "
        "a firm with a crane, asked by the owner."
    ]
    assert "measure it" in gaps(advice(LiftFacts(None, 300)))[0]


ORDER = list(Outcome)


@given(st.integers(1, 2000), st.integers(0, 500), st.floats(20, 2000))
def test_a_heavier_stone_is_never_advised_more_lightly(kg: int, more: int, limit: float) -> None:
    light = advice(LiftFacts(Weight(kg, kg), limit))
    heavy = advice(LiftFacts(Weight(kg, kg + more), limit))
    assert ORDER.index(light.outcome) <= ORDER.index(heavy.outcome)
    if heavy.outcome is light.outcome:
        assert light.crew <= heavy.crew
