"""What may be written down about the ground: settings, surveys, overruling words, jobs, chains."""

from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.job_shape import JobShape, refusals_to_shape, refusals_when_closed
from workdays.rules.looking import refusals_to_record
from workdays.rules.overriding import is_looser, is_stricter, refusals_to_override
from workdays.rules.prerequisites import circles, refusals_to_circles, waits_for
from workdays.rules.setting_values import refusals_to_set, value_refusals
from workdays.rules.settings import BY_KEY, SETTINGS, Setting, Value
from workdays.rules.triage import Conclusion, Kind, Need, Sign, SurveyFacts

SOURCE = "letter of the owner with permission, 3 March 2026"
JOB = JobShape(
    needs_stone=True,
    has_stone=True,
    here=True,
    priority=30,
    person_minutes=60,
    fewest=2,
    most=4,
    lifters=0,
)
SEEN = SurveyFacts(date(2026, 5, 6))
REASON = "A conservator looked at it on 2 May."


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.key)
def test_every_default_fits_its_own_setting(setting: Setting) -> None:
    assert not value_refusals(setting, setting.default)


@given(value=st.one_of(st.floats(), st.integers(), st.booleans(), st.text()))
@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.key)
def test_a_value_that_is_taken_is_of_the_kind_and_within_bounds(
    setting: Setting, value: Value
) -> None:
    if value_refusals(setting, value):
        return
    assert isinstance(value, bool) == isinstance(setting.default, bool)
    assert isinstance(value, str) == isinstance(setting.default, str)
    if setting.low is not None and setting.high is not None:
        assert setting.low <= float(value) <= setting.high


def test_one_sided_bounds_say_which_side() -> None:
    setting = Setting("x", "X", 5, "people", "s", "", low=2)
    assert value_refusals(setting, 1)[0].sentence == "Give at least 2 people."
    assert value_refusals(replace(setting, low=None, high=9), 10)[0].sentence.startswith(
        "Give at most 9"
    )


def test_a_setting_needs_a_source_and_resets_the_owners_leave() -> None:
    resets = BY_KEY["volunteer_resets"]
    assert not refusals_to_set(resets, True, SOURCE)
    assert [r.code for r in refusals_to_set(resets, True, "x")] == ["no-source"]
    assert [r.code for r in refusals_to_set(resets, True, "we always did")] == ["no-leave-of-owner"]
    assert not refusals_to_set(resets, False, "we always did")


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"has_stone": False}, "no-stone"),
        ({"needs_stone": False}, "no-section"),
        ({"here": False}, "elsewhere"),
        ({"fewest": 1}, "alone"),
        ({"most": 1}, "most"),
        ({"most": 13}, "crowd"),
        ({"lifters": 5}, "lifters"),
        ({"lifts": True}, "no-lifters"),
        ({"priority": 0}, "priority"),
        ({"person_minutes": 4}, "minutes"),
    ],
)
def test_a_job_that_cannot_be_is_refused_beside_one_that_can(
    changes: dict[str, Any], code: str
) -> None:
    assert not refusals_to_shape(JOB)
    assert [r.code for r in refusals_to_shape(replace(JOB, **changes))] == [code]


def test_raking_is_for_a_section_and_a_job_that_is_done_is_done() -> None:
    assert not refusals_to_shape(replace(JOB, needs_stone=False, has_stone=False))
    assert not refusals_when_closed("to do", is_open=True)
    assert refusals_when_closed("done", is_open=False)[0].sentence.startswith("This job is done")


@pytest.mark.parametrize(
    ("survey", "pieces", "code"),
    [
        (replace(SEEN, on=date(2026, 5, 7)), None, "future"),
        (replace(SEEN, on=date(1979, 12, 31)), None, "too-old"),
        (SEEN, 2, "pieces"),
        (replace(SEEN, height_above_cm=201), None, "too-high"),
    ],
)
def test_a_survey_that_contradicts_itself_is_refused(
    survey: SurveyFacts, pieces: int | None, code: str
) -> None:
    today = date(2026, 5, 6)
    found = refusals_to_record(survey, pieces=pieces, stone_height_cm=100, today=today)
    assert [refusal.code for refusal in found] == [code]


@pytest.mark.parametrize(
    ("survey", "pieces", "height_cm"),
    [
        (SEEN, 1, None),
        (replace(SEEN, signs=frozenset({Sign.BROKEN_THROUGH})), 3, 100),
        (replace(SEEN, height_above_cm=200), None, 100),
        (replace(SEEN, height_above_cm=900), None, None),
    ],
)
def test_a_survey_that_can_be_is_taken(
    survey: SurveyFacts, pieces: int | None, height_cm: int | None
) -> None:
    today = date(2026, 5, 6)
    assert not refusals_to_record(survey, pieces=pieces, stone_height_cm=height_cm, today=today)


def says(kind: Kind, *needs: Need) -> Conclusion:
    return Conclusion(kind, frozenset(needs))


ALONE, MEND = says(Kind.LEAVE_ALONE), says(Kind.CONSERVATOR)
CLEAN, SOUND = says(Kind.NEEDS, Need.CLEAN), says(Kind.NEEDS)
CLEAN_LATER = says(Kind.NEEDS, Need.CLEAN, Need.LOOK_AGAIN)


@pytest.mark.parametrize(
    ("new", "old", "looser"),
    [
        (ALONE, None, False),
        (MEND, None, True),
        (ALONE, CLEAN, False),
        (CLEAN, ALONE, True),
        (MEND, ALONE, True),
        (MEND, CLEAN, False),
        (MEND, MEND, False),
        (CLEAN, SOUND, True),
        (CLEAN_LATER, CLEAN, False),
        (CLEAN, CLEAN_LATER, True),
    ],
)
def test_looser_is_what_allows_anything_more(
    new: Conclusion, old: Conclusion | None, looser: bool
) -> None:
    assert is_looser(new, old) is looser


def test_stricter_goes_by_what_may_touch() -> None:
    assert is_stricter(ALONE, MEND)
    assert is_stricter(MEND, CLEAN)
    assert not is_stricter(CLEAN, SOUND)


def test_only_a_looser_word_needs_a_reason_and_an_unseen_stone_a_survey() -> None:
    assert not refusals_to_override(ALONE, CLEAN, "")
    assert not refusals_to_override(CLEAN, ALONE, REASON)
    assert [r.code for r in refusals_to_override(CLEAN, ALONE, "fine")] == ["no-reason"]
    assert [r.code for r in refusals_to_override(CLEAN, None, REASON)] == ["not-seen"]


@given(
    edges=st.dictionaries(st.integers(0, 8), st.lists(st.integers(0, 8), max_size=3)),
    job=st.integers(0, 8),
    wanted=st.sets(st.integers(0, 8), max_size=3),
)
def test_a_chain_that_is_taken_never_leads_back(
    edges: dict[int, list[int]], job: int, wanted: set[int]
) -> None:
    after = {**edges, job: sorted(wanted)}
    found = circles(job, sorted(wanted), edges)
    assert bool(found) == (job in waits_for(job, after))
    for circle in found:
        assert circle[0] == circle[-1] == job
        assert all(other in after[one] for one, other in pairwise(circle))


def test_a_new_job_can_wait_for_any_other() -> None:
    assert not circles(None, [1], {1: [2], 2: [1]})


def test_a_circle_is_refused_with_the_names_of_all_in_it() -> None:
    names = {1: "Raking", 2: "Cleaning", 3: "Resetting"}
    found = refusals_to_circles(circles(1, [3], {3: [2], 2: [1]}), names)
    assert [(r.code, r.sentence) for r in found] == [
        (
            "circle",
            "Raking waits for Resetting, Resetting waits for Cleaning and Cleaning waits for "
            "Raking: they would wait for each other for ever.",
        )
    ]
    itself = refusals_to_circles(circles(1, [1], {}), names)
    assert [r.sentence for r in itself] == ["Raking cannot wait for itself."]
