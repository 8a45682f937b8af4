"""Triage: signs to conclusions, and what may touch a stone.

Lean bands 3, 6 and 15 degrees: a conservator's article on leaning markers, 2023-24. Height 1,500
mm: ICCM guidance 2019, from memory. Sugaring, flaking, hollow sound: county guidance in Texas and
Cemetery Conservators for United Standards, undated.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import assume, given
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
    material="marble",
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


@pytest.mark.parametrize("changes", [{"tapped": False}, {"lean_degrees": None}])
def test_what_was_not_measured_blocks_touching_from_the_day_of_the_look_on(
    changes: dict[str, object],
) -> None:
    result = concluded(**changes)
    assert Need.LOOK_AGAIN in result.needs
    for kind in (CLEANING, RESETTING, MENDING):
        assert "look-again" in codes(result, kind, led=True, on=SEEN)
    assert codes(result, SURVEY) == []


@pytest.mark.parametrize("sign", [Sign.WOBBLE, Sign.FALLEN])
def test_a_stone_that_is_not_steady_may_be_tall_where_nobody_measured_it(sign: Sign) -> None:
    result = concluded(signs=frozenset({sign}), height_above_cm=None)
    assert result.kind is Kind.CONSERVATOR
    assert result.cordon is (sign is Sign.WOBBLE)
    flat = concluded(signs=frozenset({sign}), height_above_cm=None, stone_type="ledger")
    assert flat.kind is Kind.NEEDS


def test_nothing_wet_before_the_material_is_known() -> None:
    result = concluded(material="unknown", signs=frozenset({Sign.GROWTH, Sign.SUNK}))
    assert codes(result, CLEANING) == ["no-cleaning"]
    assert codes(result, RESETTING) == []


def test_a_leaning_hazard_is_made_steady_before_it_is_washed() -> None:
    result = concluded(lean_degrees=6)
    assert codes(result, CLEANING) == ["no-cleaning"]
    assert codes(result, RESETTING) == []
    assert codes(concluded(lean_degrees=6, lean=Lean.SIDE), CLEANING) == []


@pytest.mark.parametrize(("depth", "needs"), [(None, set()), (0, set()), (1, {Need.RESET})])
def test_a_measured_depth_says_that_a_stone_has_sunk(depth: int | None, needs: set[Need]) -> None:
    result = concluded(depth_sunk_cm=depth)
    assert result.needs == needs
    assert [r.sentence for r in result.reasons] == ["It has sunk by 1 cm."] * len(needs)
    ticked = concluded(depth_sunk_cm=depth, signs=frozenset({Sign.SUNK}))
    assert ticked.needs == {Need.RESET}
    assert len(ticked.reasons) == 1


def test_a_hollow_sound_was_heard_so_the_stone_was_tapped() -> None:
    result = concluded(tapped=False, signs=frozenset({Sign.HOLLOW}))
    assert result.look_again_on == date(2031, 4, 18)


def test_flat_and_fallen_stones_have_no_lean_to_measure() -> None:
    flat = {"lean_degrees": None, "height_above_cm": None}
    assert concluded(stone_type="ledger", **flat).needs == frozenset()
    fallen = concluded(signs=frozenset({Sign.FALLEN}), lean_degrees=None)
    assert fallen.needs == {Need.RESET}


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


# What every single sign comes to on a stone that is steady, upright and known in every measure:
# kind, needs, whether it bars wet work, whether people are kept away, and who says so.
TABLE: dict[Sign, tuple[Kind, set[Need], bool, bool, str]] = {
    Sign.SUGARING: (Kind.LEAVE_ALONE, set(), False, False, "United Standards"),
    Sign.FLAKING: (Kind.LEAVE_ALONE, set(), False, False, "Texas"),
    Sign.HOLLOW: (Kind.LEAVE_ALONE, set(), False, False, "Texas"),
    Sign.FIRE: (Kind.LEAVE_ALONE, set(), False, False, "Oregon"),
    Sign.CRACKS: (Kind.CONSERVATOR, set(), False, False, "South Carolina"),
    Sign.BROKEN_THROUGH: (Kind.CONSERVATOR, set(), False, False, "South Carolina"),
    Sign.LOOSE_PIECES: (Kind.CONSERVATOR, set(), False, False, "South Carolina"),
    Sign.OLD_REPAIR: (Kind.CONSERVATOR, set(), False, False, "Preservation Technology"),
    Sign.WOBBLE: (Kind.NEEDS, {Need.RESET}, True, True, "Chicora"),
    Sign.FALLEN: (Kind.NEEDS, {Need.RESET}, False, False, "common practice"),
    Sign.SUNK: (Kind.NEEDS, {Need.RESET}, False, False, "common practice"),
    Sign.TIGHT_LICHEN: (Kind.NEEDS, set(), True, False, "restoration group"),
    Sign.GROWTH: (Kind.NEEDS, {Need.CLEAN}, False, False, "Chicora"),
}


@pytest.mark.parametrize("sign", Sign)
def test_each_sign_alone_comes_to_what_the_published_guidance_says(sign: Sign) -> None:
    kind, needs, bars_wet, cordon, source = TABLE[sign]
    result = concluded(signs=frozenset({sign}))
    [reason] = result.reasons
    assert (result.kind, result.cordon) == (kind, cordon)
    assert result.needs == needs
    assert reason.bars_wet is bars_wet
    assert source in reason.source


STONES = st.builds(
    SurveyFacts,
    on=st.just(SEEN),
    signs=st.frozensets(st.sampled_from(Sign)),
    stone_type=st.sampled_from(["tablet", "obelisk", "pedestal", "ledger", "flush", "other"]),
    tapped=st.booleans(),
    lean_degrees=st.none() | st.floats(0, 90),
    lean=st.sampled_from(Lean),
    height_above_cm=st.none() | st.integers(1, 1500),
    depth_sunk_cm=st.none() | st.integers(0, 300),
    material=st.sampled_from(["unknown", "marble", "granite", "slate", "metal"]),
)
DAYS = (SEEN, DAY, date(2027, 4, 18), date(2027, 4, 19), date(2031, 4, 18), date(2031, 4, 19))


def allowed(survey: SurveyFacts) -> set[tuple[str, date]]:
    """Return the work that may touch the stone, by kind and day, with a conservator at hand."""
    result = conclusion(survey)
    return {
        (kind.key, on)
        for kind in (CLEANING, RESETTING, MENDING)
        for on in DAYS
        if not may_touch(result, kind, led_by_conservator=True, on=on)
    }


@given(STONES, st.sampled_from(sorted(set(Sign) - {Sign.FALLEN})))
def test_one_more_sign_never_allows_more_at_a_stone(survey: SurveyFacts, sign: Sign) -> None:
    after = replace(survey, signs=survey.signs | {sign})
    # A hollow sound is an answer to "was it tapped"; the stone is then left alone altogether.
    assert allowed(after) <= allowed(survey) or allowed(after) == set()
    order = list(Kind)
    before_kind, after_kind = conclusion(survey), conclusion(after)
    assert before_kind is not None
    assert after_kind is not None
    assert order.index(after_kind.kind) <= order.index(before_kind.kind)
    assert before_kind.cordon <= after_kind.cordon


@given(STONES)
def test_a_stone_found_fallen_allows_no_more_than_standing_and_measured(
    survey: SurveyFacts,
) -> None:
    # A stone on the ground has no lean: the gap closes with the fall, so it is measured here.
    measured = replace(survey, lean_degrees=survey.lean_degrees or 0)
    fallen = replace(measured, signs=measured.signs | {Sign.FALLEN})
    assert allowed(fallen) <= allowed(measured)


UNKNOWN: dict[str, object] = {
    "tapped": False,
    "lean_degrees": None,
    "lean": Lean.UNKNOWN,
    "height_above_cm": None,
    "material": "unknown",
}
UNTICKED = {"tapped": {Sign.HOLLOW}}


@given(STONES, st.sampled_from(sorted(UNKNOWN)))
def test_what_is_unknown_never_allows_more_than_anything_that_is_known(
    survey: SurveyFacts, what: str
) -> None:
    known = replace(survey, signs=survey.signs - UNTICKED.get(what, set()))
    if what == "lean_degrees":  # what lies flat has no lean: none noted is nothing unknown
        assume(known.stone_type not in {"ledger", "flush"} and Sign.FALLEN not in known.signs)
    unknown = replace(known, **{what: UNKNOWN[what]})  # type: ignore[arg-type]
    assert allowed(unknown) <= allowed(known)


@given(STONES)
def test_the_worse_of_two_known_measures_never_allows_more(survey: SurveyFacts) -> None:
    for what, worse in (("height_above_cm", 1500), ("lean_degrees", 90.0), ("depth_sunk_cm", 300)):
        if getattr(survey, what) is not None:
            changed: dict[str, object] = {what: worse}
            assert allowed(replace(survey, **changed)) <= allowed(survey)  # type: ignore[arg-type]
    sideways = replace(survey, lean=Lean.SIDE)
    assert allowed(replace(survey, lean=Lean.FRONT_OR_BACK)) <= allowed(sideways)


@given(STONES)
def test_nothing_but_led_mending_ever_touches_a_stone_that_is_not_for_volunteers(
    survey: SurveyFacts,
) -> None:
    result = conclusion(survey)
    assert result is not None
    assert all(reason.source for reason in result.reasons)
    if result.kind is Kind.NEEDS:
        return
    assert result.needs == frozenset()
    assert codes(result, CLEANING, led=True)
    assert codes(result, RESETTING, led=True)
    assert codes(result, MENDING)
