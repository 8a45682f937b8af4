"""Triage: signs to conclusions, and what may touch a stone.

Lean bands 3, 6 and 15 degrees: a conservator's article on leaning markers, 2023-24. Height 1,500
mm: ICCM guidance 2019, from memory. Sugaring, flaking, hollow sound: county guidance in Texas and
Cemetery Conservators for United Standards, undated.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.kinds import KindFacts
from workdays.rules.triage import (
    MARK_WORDS,
    SIGN_WORDS,
    Conclusion,
    Kind,
    Lean,
    Mark,
    Need,
    Reason,
    Sign,
    SurveyFacts,
    as_rows,
    conclusion,
    from_rows,
    gravest,
    may_touch,
)

SEEN = date(2026, 4, 18)
DAY = date(2026, 5, 9)
STEADY = SurveyFacts(
    SEEN,
    stone_type="tablet",
    tapped=True,
    lean_degrees=0,
    lean=Lean.FRONT_OR_BACK,
    height_above_cm=90,
)
RAKING = KindFacts("raking", "Raking")
SURVEY = KindFacts("survey", "Survey")
CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
MENDING = KindFacts(
    "mending", "Mending", touches=True, wets=True, lifts=True, needs_conservator=True
)


def concluded(**changes: object) -> Conclusion:
    result = conclusion(replace(STEADY, **changes))  # type: ignore[arg-type]
    assert result is not None
    return result


def codes(
    result: Conclusion | None, kind: KindFacts, *, led: bool = False, on: date = DAY
) -> list[str]:
    return [refusal.code for refusal in may_touch(result, kind, led_by_conservator=led, on=on)]


def test_a_stone_never_surveyed_is_not_seen_and_only_looking_is_allowed() -> None:
    assert conclusion(None) is None
    assert gravest(None) is Mark.NOT_SEEN
    assert codes(None, CLEANING) == ["not-seen"]
    assert codes(None, SURVEY) == codes(None, RAKING) == []


def test_a_steady_clean_stone_is_sound() -> None:
    result = concluded()
    assert (result.kind, result.needs, result.reasons) == (Kind.NEEDS, frozenset(), ())
    assert gravest(result) is Mark.SOUND
    assert not result.cordon
    assert codes(result, CLEANING) == []


@pytest.mark.parametrize("sign", [Sign.SUGARING, Sign.FLAKING, Sign.HOLLOW, Sign.FIRE])
def test_a_surface_that_is_being_lost_is_left_alone(sign: Sign) -> None:
    result = concluded(signs=frozenset({sign, Sign.GROWTH, Sign.BROKEN_THROUGH}))
    assert result.kind is Kind.LEAVE_ALONE
    assert result.needs == frozenset()
    assert gravest(result) is Mark.LEAVE_ALONE
    assert len(result.reasons) == 3
    for kind in (CLEANING, RESETTING):
        assert "leave-alone" in codes(result, kind)
    assert codes(result, MENDING, led=True) == ["leave-alone"]
    assert codes(result, SURVEY) == []


@pytest.mark.parametrize(
    "sign", [Sign.CRACKS, Sign.BROKEN_THROUGH, Sign.LOOSE_PIECES, Sign.OLD_REPAIR]
)
def test_a_broken_stone_is_for_a_conservator(sign: Sign) -> None:
    result = concluded(signs=frozenset({sign}))
    assert result.kind is Kind.CONSERVATOR
    assert gravest(result) is Mark.CONSERVATOR
    assert codes(result, CLEANING, led=True) == ["conservator"]
    assert codes(result, MENDING) == ["no-conservator"]
    assert codes(result, MENDING, led=True) == []


@pytest.mark.parametrize(
    ("degrees", "lean", "need", "cordon"),
    [
        (2.9, Lean.UNKNOWN, None, False),
        (3, Lean.FRONT_OR_BACK, Need.LOOK_AGAIN, False),
        (5.9, Lean.FRONT_OR_BACK, Need.LOOK_AGAIN, False),
        (6, Lean.FRONT_OR_BACK, Need.RESET, False),
        (6, Lean.SIDE, Need.LOOK_AGAIN, False),
        (6, Lean.UNKNOWN, Need.RESET, False),
        (14.9, Lean.SIDE, Need.LOOK_AGAIN, False),
        (15, Lean.SIDE, Need.RESET, True),
        (40, Lean.FRONT_OR_BACK, Need.RESET, True),
    ],
)
def test_lean_bands(degrees: float, lean: Lean, need: Need | None, cordon: bool) -> None:
    result = concluded(lean_degrees=degrees, lean=lean)
    assert result.needs == (frozenset({need}) if need else frozenset())
    assert result.cordon is cordon


def test_a_wobbling_or_urgent_stone_is_not_cleaned_before_it_is_reset() -> None:
    for changes in ({"signs": frozenset({Sign.WOBBLE, Sign.GROWTH})}, {"lean_degrees": 15}):
        result = concluded(**changes)
        assert Need.RESET in result.needs
        assert result.cordon
        assert codes(result, CLEANING) == ["no-cleaning"]
        assert codes(result, RESETTING) == []


def test_tight_lichen_stays_and_bars_cleaning() -> None:
    result = concluded(signs=frozenset({Sign.TIGHT_LICHEN, Sign.GROWTH}))
    assert result.needs == frozenset()
    assert codes(result, CLEANING) == ["no-cleaning"]


def test_a_stone_that_needs_several_things_shows_the_gravest() -> None:
    both = concluded(signs=frozenset({Sign.GROWTH, Sign.SUNK}))
    assert both.needs == {Need.CLEAN, Need.RESET}
    assert gravest(both) is Mark.RESET
    assert gravest(concluded(signs=frozenset({Sign.GROWTH}), lean_degrees=4)) is Mark.CLEAN
    assert gravest(concluded(lean_degrees=4)) is Mark.LOOK_AGAIN


@pytest.mark.parametrize("changes", [{"stone_type": "obelisk"}, {"height_above_cm": 151}])
@pytest.mark.parametrize("sign", [Sign.WOBBLE, Sign.FALLEN])
def test_a_large_or_tall_stone_that_is_not_steady_is_for_a_conservator(
    changes: dict[str, object], sign: Sign
) -> None:
    assert concluded(**changes).kind is Kind.NEEDS
    assert concluded(signs=frozenset({sign}), **changes).kind is Kind.CONSERVATOR
    assert concluded(lean_degrees=6, **changes).kind is Kind.CONSERVATOR


def test_a_tablet_of_exactly_150_cm_is_still_for_trained_people() -> None:
    assert concluded(signs=frozenset({Sign.WOBBLE}), height_above_cm=150).kind is Kind.NEEDS


@pytest.mark.parametrize(
    "changes",
    [
        {"tapped": False},
        {"lean_degrees": None},
        {"height_above_cm": None, "signs": frozenset({Sign.WOBBLE})},
    ],
)
def test_what_was_not_measured_blocks_touching_from_the_next_day(
    changes: dict[str, object],
) -> None:
    result = concluded(**changes)
    assert Need.LOOK_AGAIN in result.needs
    assert result.look_again_on == SEEN
    assert "look-again" in codes(result, RESETTING)
    assert codes(result, SURVEY) == []


def test_a_hollow_sound_was_heard_so_the_stone_was_tapped() -> None:
    result = concluded(tapped=False, signs=frozenset({Sign.HOLLOW}))
    assert result.look_again_on != SEEN


def test_flat_and_fallen_stones_have_no_lean_to_measure() -> None:
    flat = {"lean_degrees": None, "height_above_cm": None}
    assert concluded(stone_type="ledger", **flat).needs == frozenset()
    assert concluded(signs=frozenset({Sign.FALLEN}), **flat).needs == {Need.RESET}


def test_look_again_blocks_only_past_its_date() -> None:
    leaning = concluded(lean_degrees=4)
    assert leaning.look_again_on == date(2027, 4, 18)
    assert codes(leaning, CLEANING, on=date(2027, 4, 18)) == []
    assert codes(leaning, CLEANING, on=date(2027, 4, 19)) == ["look-again"]


def test_a_survey_of_29_february_is_good_for_five_years() -> None:
    result = concluded(on=date(2028, 2, 29))
    assert result.look_again_on == date(2033, 2, 28)
    assert gravest(result, on=date(2033, 2, 28)) is Mark.SOUND
    assert gravest(result, on=date(2033, 3, 1)) is Mark.LOOK_AGAIN


def test_a_conclusion_without_a_date_never_goes_out_of_date() -> None:
    assert codes(Conclusion(Kind.NEEDS), CLEANING, on=date(2099, 1, 1)) == []


def test_reasons_survive_storing_and_each_names_its_source() -> None:
    result = concluded(signs=frozenset(Sign) - {Sign.TIGHT_LICHEN}, lean_degrees=20)
    assert from_rows(as_rows(result.reasons)) == result.reasons
    assert all(reason.source for reason in result.reasons)
    assert from_rows([{"sentence": "Said by hand."}]) == (Reason("Said by hand.", ""),)


def test_every_sign_and_mark_has_words() -> None:
    assert set(SIGN_WORDS) == set(Sign)
    assert set(MARK_WORDS) == set(Mark)


surveys = st.builds(
    SurveyFacts,
    on=st.just(SEEN),
    signs=st.frozensets(st.sampled_from(Sign)),
    stone_type=st.sampled_from(["tablet", "obelisk", "pedestal", "ledger", "flush", "other"]),
    tapped=st.booleans(),
    lean_degrees=st.none() | st.floats(0, 90),
    lean=st.sampled_from(Lean),
    height_above_cm=st.none() | st.integers(1, 1500),
)


@given(surveys, st.sampled_from(Sign))
def test_one_more_sign_never_makes_a_stone_less_grave(survey: SurveyFacts, sign: Sign) -> None:
    order = list(Kind)
    before, after = conclusion(survey), conclusion(replace(survey, signs=survey.signs | {sign}))
    assert before is not None
    assert after is not None
    assert order.index(after.kind) <= order.index(before.kind)


@given(surveys)
def test_nothing_but_led_mending_ever_touches_a_stone_that_is_not_for_volunteers(
    survey: SurveyFacts,
) -> None:
    result = conclusion(survey)
    assert result is not None
    if result.kind is Kind.NEEDS:
        return
    assert result.needs == frozenset()
    assert codes(result, CLEANING, led=True)
    assert codes(result, RESETTING, led=True)
    assert codes(result, MENDING)
