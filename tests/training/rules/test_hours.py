from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from training.rules.hours import (
    PlannedPart,
    Proposal,
    Stay,
    WorkBlock,
    minutes_present,
    proposals,
)

NINE = datetime(2026, 5, 9, 13, 0, tzinfo=UTC)
BEN, ANA, TOM = 10, 11, 12
DAY = 41


def at(minutes: float) -> datetime:
    return NINE + timedelta(minutes=minutes)


MORNING = WorkBlock(1, at(0), at(180))
AFTERNOON = WorkBlock(2, at(210), at(360))
BLOCKS = (MORNING, AFTERNOON)
ALL_DAY = (Stay(BEN, at(-30), at(400)), Stay(ANA, at(-10), at(370)))
CLEANS = PlannedPart(ANA, 1, "cleaning", supervisor=BEN, stones=2, placement=7)


def earned(
    *parts: PlannedPart, roll: tuple[Stay, ...] = ALL_DAY, blocks: tuple[WorkBlock, ...] = BLOCKS
) -> tuple[Proposal, ...]:
    return proposals(DAY, roll=roll, blocks=blocks, parts=parts)


def minutes(*parts: PlannedPart, roll: tuple[Stay, ...] = ALL_DAY) -> list[int]:
    return [proposal.minutes for proposal in earned(*parts, roll=roll)]


def test_a_whole_block_earns_its_minutes_and_not_what_lies_around_it() -> None:
    assert earned(CLEANS) == (Proposal(DAY, ANA, 1, "cleaning", 180, 2, BEN, 7),)
    assert earned(CLEANS)[0].key == (DAY, ANA, 1, "cleaning")


def test_the_break_between_blocks_earns_nothing() -> None:
    assert minutes(CLEANS, replace(CLEANS, block=2)) == [180, 150]


@pytest.mark.parametrize(
    ("arrived", "left", "credited"),
    [(0, 179, 165), (1, 180, 165), (0, 180, 180), (0, 14.99, 0), (170, 185, 0), (200, 205, 0)],
)
def test_whole_quarter_hours_rounded_down(arrived: int, left: float, credited: int) -> None:
    roll = (ALL_DAY[0], Stay(ANA, at(arrived), at(left)))
    assert minutes(CLEANS, roll=roll) == ([credited] if credited else [])


def test_two_stays_add_up_and_overlapping_ones_count_once() -> None:
    apart = (ALL_DAY[0], Stay(ANA, at(0), at(70)), Stay(ANA, at(100), at(180)))
    assert minutes(CLEANS, roll=apart) == [150]
    twice = (ALL_DAY[0], Stay(ANA, at(0), at(100)), Stay(ANA, at(50), at(120)))
    assert minutes(CLEANS, roll=twice) == [120]


def test_never_more_than_planned() -> None:
    assert minutes(replace(CLEANS, minutes=50)) == [45]


@pytest.mark.parametrize(
    "roll",
    [
        (ALL_DAY[1],),
        (Stay(BEN, at(0), None), ALL_DAY[1]),
        (ALL_DAY[0],),
        (ALL_DAY[0], Stay(ANA, at(0), None)),
    ],
)
def test_nothing_without_person_and_supervisor_on_the_ground(roll: tuple[Stay, ...]) -> None:
    assert minutes(CLEANS, roll=roll) == []


def test_only_the_time_with_the_supervisor_counts() -> None:
    roll = (Stay(BEN, at(60), at(120)), ALL_DAY[1])
    assert minutes(CLEANS, roll=roll) == [60]


def test_no_supervisor_oneself_or_an_unknown_block_earn_nothing() -> None:
    assert minutes(replace(CLEANS, supervisor=None)) == []
    assert minutes(replace(CLEANS, person=BEN)) == []
    assert minutes(replace(CLEANS, block=9)) == []


def test_two_skills_in_one_block_share_the_time() -> None:
    resets = replace(CLEANS, skill="resetting", minutes=120)
    assert minutes(replace(CLEANS, minutes=90), resets) == [90, 90]
    assert minutes(CLEANS, resets) == [180]


def test_parts_of_the_same_key_are_one_row() -> None:
    first, second = replace(CLEANS, minutes=30), replace(CLEANS, minutes=45, stones=1)
    assert [(p.minutes, p.stones) for p in earned(first, second)] == [(75, 3)]
    assert minutes(first, CLEANS) == [180]
    assert minutes(CLEANS, first) == [180]


def test_minutes_present_counts_whole_minutes() -> None:
    assert minutes_present([Stay(TOM, at(0.5), at(10))], TOM, (at(0), at(60))) == 9


spans = st.tuples(st.integers(-60, 420), st.integers(0, 300))
stays = st.lists(
    st.builds(
        lambda person, span, left: Stay(
            person, at(span[0]), at(span[0] + span[1]) if left else None
        ),
        st.sampled_from([BEN, ANA, TOM]),
        spans,
        st.booleans(),
    ),
    max_size=8,
)
parts = st.lists(
    st.builds(
        PlannedPart,
        person=st.sampled_from([BEN, ANA, TOM]),
        block=st.sampled_from([1, 2]),
        skill=st.sampled_from(["cleaning", "resetting"]),
        supervisor=st.none() | st.sampled_from([BEN, TOM]),
        minutes=st.none() | st.integers(0, 200),
    ),
    max_size=8,
)


@given(stays, parts)
def test_minutes_credited_never_exceed_minutes_present(
    roll: list[Stay], drawn: list[PlannedPart]
) -> None:
    rows = proposals(DAY, roll=roll, blocks=BLOCKS, parts=drawn)
    assert len({row.key for row in rows}) == len(rows)
    for row in rows:
        assert row.minutes > 0
        assert row.minutes % 15 == 0
    for person in (BEN, ANA, TOM):
        for block in BLOCKS:
            credited = sum(r.minutes for r in rows if (r.person, r.block) == (person, block.number))
            assert credited <= minutes_present(roll, person, (block.starts_at, block.ends_at))


@given(stays, parts)
def test_proposing_twice_gives_the_same_rows(roll: list[Stay], drawn: list[PlannedPart]) -> None:
    again = proposals(DAY, roll=roll[::-1], blocks=BLOCKS[::-1], parts=drawn)
    assert again == proposals(DAY, roll=roll, blocks=BLOCKS, parts=drawn)
