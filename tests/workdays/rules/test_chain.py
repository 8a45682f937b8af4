from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workdays.rules.chain import (
    ChainNeed,
    JobFacts,
    NewJob,
    Proposal,
    StepFacts,
    StoneFacts,
    needs_of,
    proposal,
)
from workdays.rules.kinds import KindFacts
from workdays.rules.triage import Conclusion, Kind, Need, Reason

TODAY = date(2026, 5, 9)
SEEN = date(2026, 4, 1)
RAKING = KindFacts("raking", "Raking")
CLEANING = KindFacts("cleaning", "Gentle cleaning", touches=True, wets=True)
RESETTING = KindFacts("resetting", "Resetting", touches=True, lifts=True, digs=True)
SURVEY = KindFacts("survey", "Survey")
RECORDING = KindFacts("recording", "Recording")
MENDING = KindFacts("mending", "Mending", touches=True, wets=True, needs_conservator=True)


def step(id: int, need: ChainNeed, kind: KindFacts, *after: int, winter: bool = False) -> StepFacts:
    return StepFacts(
        id=id,
        chain=id // 10,
        need=need,
        kind=kind,
        on_section=kind is RAKING,
        is_look=kind is SURVEY,
        after_winter=winter,
        after=frozenset(after),
    )


RECORD = step(10, ChainNeed.LOSING_FACE, RECORDING)
SEE = step(20, ChainNeed.NOT_SEEN, SURVEY)
AGAIN = step(30, ChainNeed.LOOK_AGAIN, SURVEY)
RESET = [
    step(40, ChainNeed.RESET, SURVEY),
    step(41, ChainNeed.RESET, RAKING),
    step(42, ChainNeed.RESET, CLEANING, 40, 41),
    step(43, ChainNeed.RESET, RESETTING, 40, 41, 42),
    step(44, ChainNeed.RESET, RESETTING, 43),
    step(45, ChainNeed.RESET, SURVEY, 44, winter=True),
]
CLEAN = [
    step(50, ChainNeed.CLEAN, SURVEY),
    step(51, ChainNeed.CLEAN, RAKING),
    step(52, ChainNeed.CLEAN, CLEANING, 50, 51),
]
MEND = [
    step(60, ChainNeed.CONSERVATOR, RECORDING),
    step(61, ChainNeed.CONSERVATOR, MENDING, 60),
    step(62, ChainNeed.CONSERVATOR, MENDING, 61),
    step(63, ChainNeed.CONSERVATOR, SURVEY, 62),
]
STEPS = [RECORD, SEE, AGAIN, *RESET, *CLEAN, *MEND]


def stone(*needs: Need, kind: Kind = Kind.NEEDS, **changes: object) -> StoneFacts:
    found = Conclusion(kind, frozenset(needs), look_again_on=date(2031, 4, 1))
    return StoneFacts(replace(found, **changes), since=SEEN)  # type: ignore[arg-type]  # as given


def asked(facts: StoneFacts, *jobs: JobFacts, on: date = TODAY) -> Proposal:
    return proposal(facts, STEPS, jobs, on=on)


def added(facts: StoneFacts, *jobs: JobFacts, on: date = TODAY) -> list[int]:
    return [new.step for new in asked(facts, *jobs, on=on).add]


def new_of(found: Proposal, step_id: int) -> NewJob:
    return next(new for new in found.add if new.step == step_id)


def test_a_stone_nobody_saw_is_looked_at() -> None:
    assert added(StoneFacts()) == [20]


def test_a_sound_stone_needs_nothing() -> None:
    assert asked(stone()) == Proposal()


def test_to_clean_the_section_is_raked_first_and_the_look_is_done() -> None:
    found = asked(stone(Need.CLEAN))
    assert [new.step for new in found.add] == [51, 52]
    assert new_of(found, 52).after_steps == (51,)
    assert new_of(found, 52).priority == 30


def test_a_reset_is_dug_free_first_and_looked_at_after_the_winter() -> None:
    found = asked(stone(Need.RESET))
    assert [new.step for new in found.add] == [41, 43, 44, 45]
    assert new_of(found, 43).after_steps == (41,)
    assert new_of(found, 44).after_steps == (43,)
    assert new_of(found, 45).after_steps == (44,)
    assert found.left_out == ((42, "It does not need cleaning, and each cleaning can harm."),)


def test_what_needs_both_is_cleaned_while_it_stands_and_raked_once() -> None:
    found = asked(stone(Need.RESET, Need.CLEAN))
    assert [new.step for new in found.add] == [41, 42, 43, 44, 45]
    assert new_of(found, 43).after_steps == (41, 42)


def test_what_may_not_be_wetted_is_not_cleaned_and_says_why() -> None:
    wobbles = Reason("It wobbles: make it steady first.", "a source", bars_wet=True, cordon=True)
    found = asked(stone(Need.RESET, Need.CLEAN, reasons=(wobbles,)))
    assert [new.step for new in found.add] == [41, 43, 44, 45]
    assert dict(found.left_out) == {42: wobbles.sentence, 52: wobbles.sentence}
    assert new_of(found, 44).priority == 80
    assert added(stone(Need.CLEAN, reasons=(wobbles,))) == []


def test_leave_alone_asks_for_nothing_but_recording_what_is_lost() -> None:
    alone = stone(kind=Kind.LEAVE_ALONE)
    assert added(alone) == []
    assert added(replace(alone, losing_face=True)) == [10]
    assert added(alone, on=date(2031, 5, 1)) == []


def test_recording_comes_before_anything_touches_what_is_losing_its_face() -> None:
    found = asked(replace(stone(Need.CLEAN), losing_face=True))
    assert new_of(found, 52).after_steps == (10, 51)
    assert new_of(found, 51).after_steps == ()


def test_a_conservator_mends_step_by_step() -> None:
    found = asked(stone(kind=Kind.CONSERVATOR))
    assert [new.step for new in found.add] == [60, 61, 62, 63]
    assert [new.after_steps for new in found.add] == [(), (60,), (61,), (62,)]


def test_a_look_that_ran_out_is_renewed_before_anything_else() -> None:
    late = date(2031, 4, 2)
    found = asked(stone(Need.CLEAN), on=late)
    assert [new.step for new in found.add] == [30, 51, 52]
    assert new_of(found, 52).after_steps == (30, 51)
    mend = asked(stone(kind=Kind.CONSERVATOR), on=late)
    assert new_of(mend, 61).after_steps == (30, 60)
    assert new_of(mend, 30).earliest_on is None


def test_a_lean_to_measure_again_is_looked_at_a_month_before_it_runs_out() -> None:
    until = date(2027, 4, 1)
    leans = stone(Need.LOOK_AGAIN, Need.CLEAN, look_again_on=until)
    found = asked(leans)
    assert [new.step for new in found.add] == [30, 51, 52]
    assert new_of(found, 30).earliest_on == until - timedelta(days=30)
    assert new_of(found, 52).after_steps == (51,)
    assert new_of(asked(leans, on=date(2027, 3, 2)), 30).earliest_on is None
    assert new_of(asked(stone(Need.LOOK_AGAIN, look_again_on=None)), 30).earliest_on is None


def test_a_job_that_is_to_do_is_not_made_again() -> None:
    dug = JobFacts(1, "resetting", step=43, chain=4, waits=True)
    found = asked(stone(Need.RESET), dug)
    assert [new.step for new in found.add] == [44, 45]
    assert new_of(found, 44).after_jobs == (1,)
    assert found.there == ((43, (1,)),)


def test_a_job_made_by_hand_stands_for_every_step_of_its_kind() -> None:
    by_hand = JobFacts(1, "resetting")
    found = asked(stone(Need.RESET), by_hand)
    assert [new.step for new in found.add] == [45]
    assert new_of(found, 45).after_jobs == (1,)
    assert added(stone(Need.CLEAN), JobFacts(2, "cleaning")) == []


def test_raking_that_is_to_do_in_the_section_counts_for_every_stone() -> None:
    thirds = [JobFacts(n, "raking", on_section=True) for n in (7, 8)]
    found = asked(stone(Need.CLEAN), *thirds)
    assert [new.step for new in found.add] == [52]
    assert new_of(found, 52).after_jobs == (7, 8)
    raked = JobFacts(7, "raking", on_section=True, is_open=False, done_on=TODAY)
    assert added(stone(Need.CLEAN), raked) == [51, 52]


def test_raking_that_a_job_of_the_stone_waits_for_is_there_with_it() -> None:
    raking = JobFacts(7, "raking", on_section=True)
    cleaning = JobFacts(8, "cleaning", step=52, chain=5, waits=True)
    assert dict(asked(stone(Need.CLEAN), raking, cleaning).there) == {51: (7,), 52: (8,)}
    over = replace(cleaning, is_open=False, done_on=TODAY)
    assert dict(asked(stone(Need.CLEAN), raking, over).there) == {52: (8,)}


@pytest.mark.parametrize(
    ("done_on", "steps"),
    [
        (SEEN - timedelta(days=1), [51, 52]),
        (SEEN, []),
        (SEEN + timedelta(days=1), []),
        (None, None),
    ],
)
def test_what_was_done_since_the_look_is_not_done_again(
    done_on: date | None, steps: list[int] | None
) -> None:
    cleaned = JobFacts(1, "cleaning", is_open=False, done_on=done_on, step=52, chain=5)
    assert added(stone(Need.CLEAN), cleaned) == ([51, 52] if steps is None else steps)


def test_of_what_was_done_twice_the_last_counts() -> None:
    bonds = [
        JobFacts(n, "mending", is_open=False, done_on=SEEN + timedelta(days=n), step=61, chain=6)
        for n in (3, 2)
    ]
    found = asked(stone(kind=Kind.CONSERVATOR), *bonds)
    assert new_of(found, 62).after_jobs == (3,)


def test_the_look_of_the_day_is_what_was_concluded_from_and_a_later_one_counts() -> None:
    looked = JobFacts(1, "survey", is_open=False, done_on=SEEN, is_look=True)
    again = stone(Need.LOOK_AGAIN, look_again_on=SEEN)
    assert added(again, looked) == [30]
    assert added(again, replace(looked, done_on=SEEN + timedelta(days=1))) == []
    assert added(StoneFacts(), looked) == []


def test_a_later_look_of_a_chain_is_not_mistaken_for_the_first_of_another() -> None:
    rest = JobFacts(1, "survey", step=63, chain=6, is_look=True, waits=True)
    assert added(stone(Need.LOOK_AGAIN, look_again_on=SEEN), rest) == [30]
    late = asked(stone(kind=Kind.CONSERVATOR), on=date(2031, 4, 2))
    assert [new.step for new in late.add] == [30, 60, 61, 62, 63]


def test_raking_alone_is_a_chain_too() -> None:
    only = [step(51, ChainNeed.CLEAN, RAKING)]
    found = proposal(stone(Need.CLEAN), only, [], on=TODAY)
    assert [new.step for new in found.add] == [51]


def test_needs_are_begun_in_order() -> None:
    facts = replace(stone(Need.CLEAN, Need.RESET, Need.LOOK_AGAIN), losing_face=True)
    assert needs_of(facts, on=TODAY) == [
        ChainNeed.LOSING_FACE,
        ChainNeed.LOOK_AGAIN,
        ChainNeed.RESET,
        ChainNeed.CLEAN,
    ]


DATES = st.dates(date(2026, 1, 1), date(2032, 1, 1))
KINDS = [RAKING, CLEANING, RESETTING, SURVEY, RECORDING, MENDING]


@st.composite
def stones(draw: st.DrawFn) -> StoneFacts:
    if not draw(st.integers(0, 5)):
        return StoneFacts(losing_face=draw(st.booleans()))
    bars = Reason("It wobbles.", "a source", bars_wet=True, cordon=True)
    found = Conclusion(
        draw(st.sampled_from(list(Kind))),
        draw(st.frozensets(st.sampled_from(list(Need)))),
        draw(st.none() | DATES),
        draw(st.sampled_from([(), (bars,)])),
    )
    return StoneFacts(found, draw(DATES), losing_face=draw(st.booleans()))


@st.composite
def chains(draw: st.DrawFn) -> list[StepFacts]:
    """Any chains without circles: a step comes after earlier ones of its chain."""
    made: list[StepFacts] = []
    for number, need in enumerate(ChainNeed, 1):
        for place in range(draw(st.integers(0, 4))):
            before = range(number * 10, number * 10 + place)
            after = draw(st.sets(st.sampled_from(list(before)))) if place else set()
            kind, winter = draw(st.sampled_from(KINDS)), draw(st.booleans())
            made.append(step(number * 10 + place, need, kind, *after, winter=winter))
    return made


@st.composite
def present(draw: st.DrawFn) -> list[JobFacts]:
    found = []
    for number in range(draw(st.integers(0, 4))):
        kind, by_hand = draw(st.sampled_from(KINDS)), draw(st.booleans())
        is_open, own = draw(st.booleans()), draw(st.integers(1, 6)) * 10 + draw(st.integers(0, 3))
        found.append(
            JobFacts(
                number,
                kind.key,
                is_open=is_open,
                done_on=None if is_open else draw(DATES),
                step=None if by_hand else own,
                chain=None if by_hand else own // 10,
                on_section=kind is RAKING,
                is_look=kind is SURVEY,
                waits=draw(st.booleans()),
            )
        )
    return found


def as_jobs(found: Proposal, steps: list[StepFacts]) -> list[JobFacts]:
    by_id = {one.id: one for one in steps}
    return [
        JobFacts(
            1000 + new.step,
            by_id[new.step].kind.key,
            step=new.step,
            chain=by_id[new.step].chain,
            on_section=by_id[new.step].on_section,
            is_look=by_id[new.step].is_look,
            after_winter=by_id[new.step].after_winter,
            waits=bool(new.after_steps or new.after_jobs),
        )
        for new in found.add
    ]


@settings(max_examples=400, deadline=None)
@given(stones(), chains(), present(), DATES)
def test_once_added_nothing_is_added_again_and_nothing_waits_in_a_circle(
    facts: StoneFacts, steps: list[StepFacts], jobs: list[JobFacts], on: date
) -> None:
    found = proposal(facts, steps, jobs, on=on)
    made = {new.step for new in found.add}
    done: set[int] = set()
    while ready := {
        new.step for new in found.add if new.step not in done and set(new.after_steps) <= done
    }:
        done |= ready
    assert done == made
    assert all(set(new.after_jobs) <= {job.id for job in jobs} for new in found.add)
    again = proposal(facts, steps, [*jobs, *as_jobs(found, steps)], on=on)
    assert again.add == ()
