"""Priorities that the rules suggest, with their reasons.

Lean of 15 degrees, urgent: a conservator's article on leaning markers, 2023-24. Sugaring and
flaking: Cemetery Conservators for United Standards, undated. The points are common practice.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.kinds import KindFacts
from workdays.rules.suggesting import DAMAGE, JobToRank, suggestion
from workdays.rules.triage import Sign, SurveyFacts

CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
RECORDING = KindFacts("recording", "Recording")
SPRING, AUTUMN = date(2026, 4, 18), date(2025, 10, 4)


def seen(*signs: Sign, lean: float | None = 0, on: date = SPRING) -> SurveyFacts:
    return SurveyFacts(on, frozenset(signs), lean_degrees=lean)


def told(job: JobToRank) -> tuple[int, list[str]]:
    found = suggestion(job)
    assert found is not None
    return found.priority, [ground.sentence for ground in found.grounds]


@pytest.mark.parametrize(
    "job",
    [
        JobToRank(RESETTING),
        JobToRank(RESETTING, newest=seen(Sign.SUNK, lean=14)),
        JobToRank(CLEANING, newest=seen(Sign.WOBBLE, lean=20), cordon=True),
        JobToRank(CLEANING, newest=seen(Sign.SUGARING)),
        JobToRank(RESETTING, newest=seen(lean=None), before=seen(lean=4, on=AUTUMN)),
        JobToRank(RESETTING, newest=seen(lean=5), before=seen(lean=4, on=AUTUMN)),
        JobToRank(CLEANING, newest=seen(Sign.CRACKS), before=seen(on=AUTUMN)),
        JobToRank(RECORDING, reads=True, newest=seen(Sign.GROWTH), before=seen(on=AUTUMN)),
    ],
)
def test_without_a_reason_nothing_is_suggested(job: JobToRank) -> None:
    assert suggestion(job) is None


@pytest.mark.parametrize(
    ("newest", "cordon", "priority", "words"),
    [
        (seen(lean=15), True, 80, "leans 15 degrees"),
        (seen(Sign.WOBBLE), True, 80, "wobbles"),
        (seen(), True, 75, "kept away"),
        (None, True, 75, "kept away"),
        (seen(Sign.FALLEN, lean=None), False, 60, "lies on the ground"),
    ],
)
def test_what_ends_a_danger_to_visitors_comes_early(
    newest: SurveyFacts | None, *, cordon: bool, priority: int, words: str
) -> None:
    found, [sentence] = told(JobToRank(RESETTING, newest=newest, cordon=cordon))
    assert found == priority
    assert words in sentence


def test_the_words_of_a_stone_that_is_losing_its_face_are_read_first() -> None:
    losing = seen(Sign.SUGARING, Sign.FLAKING)
    found, [sentence] = told(JobToRank(RECORDING, reads=True, newest=losing))
    assert found == 80
    assert "read it first" in sentence
    assert "sugaring" in sentence
    assert "flaking" in sentence


def test_two_looks_show_what_is_getting_worse() -> None:
    before = seen(lean=7, on=AUTUMN)
    job = JobToRank(RESETTING, newest=seen(Sign.SUNK, lean=10), before=before)
    assert told(job) == (
        60,
        [
            "It leans 3 degrees more than on 4 October 2025.",
            "Getting worse since 4 October 2025: sunk.",
        ],
    )
    reads = JobToRank(RECORDING, reads=True, newest=seen(Sign.CRACKS), before=before)
    assert told(reads) == (45, ["Getting worse since 4 October 2025: cracks."])


def test_who_waits_and_what_is_planned_anyway_count_for_every_kind() -> None:
    job = JobToRank(CLEANING, family_waits=True, planned_on=date(2026, 5, 9))
    assert told(job) == (
        55,
        [
            "The family gave its leave and waits.",
            "People work in this section on Saturday 9 May anyway.",
        ],
    )


def test_every_reason_has_points_and_says_where_it_was_published() -> None:
    newest = seen(*Sign, lean=20)
    job = JobToRank(RESETTING, False, newest, seen(on=AUTUMN), True, True, date(2026, 5, 9))
    found = suggestion(job)
    assert found is not None
    assert all(ground.points > 0 and ground.source for ground in found.grounds)
    assert found.priority == 100
    assert "2023" in found.grounds[0].source


SURVEYS = st.builds(
    SurveyFacts,
    on=st.just(SPRING),
    signs=st.frozensets(st.sampled_from(Sign)),
    lean_degrees=st.none() | st.integers(0, 90),
)
JOBS = st.builds(
    JobToRank,
    kind=st.sampled_from([CLEANING, RESETTING, RECORDING]),
    reads=st.booleans(),
    newest=st.none() | SURVEYS,
    before=st.none() | SURVEYS,
    cordon=st.booleans(),
    family_waits=st.booleans(),
    planned_on=st.none() | st.just(date(2026, 5, 9)),
)


@given(JOBS)
def test_a_suggestion_is_a_priority_with_reasons(job: JobToRank) -> None:
    found = suggestion(job)
    assert found is None or (31 <= found.priority <= 100 and found.grounds)


@given(JOBS, st.sampled_from(DAMAGE))
def test_more_damage_never_lowers_what_is_suggested(job: JobToRank, sign: Sign) -> None:
    if job.newest is None:
        return
    worse = replace(job, newest=replace(job.newest, signs=job.newest.signs | {sign}))
    one, other = suggestion(job), suggestion(worse)
    assert (other.priority if other else 0) >= (one.priority if one else 0)
