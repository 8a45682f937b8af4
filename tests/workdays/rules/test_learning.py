"""What a job takes, learned from noted times: bounded, monotone, deaf to single wrong figures."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.learning import ENOUGH_DAYS, Estimate, Part, Took, estimate, whole_jobs

FIRST = date(2026, 4, 4)
MINUTES = st.integers(1, 6000)
TIMES = st.lists(
    st.builds(
        Took,
        on=st.integers(0, 30).map(lambda n: FIRST + timedelta(days=n)),
        person_minutes=MINUTES,
        here=st.booleans(),
    ),
    max_size=40,
)


def took(*minutes: int, here: bool = True, first: date = FIRST) -> list[Took]:
    """Return one job a week, the oldest first."""
    return [Took(first + timedelta(weeks=n), m, here) for n, m in enumerate(minutes)]


def test_without_times_the_default_stands() -> None:
    found = estimate([], 60)
    assert found == Estimate(60, 0)
    assert found.words == "60 min, the default: no times yet"


def test_from_five_days_on_the_median_of_the_days_stands() -> None:
    found = estimate(took(30, 35, 38, 45, 300), 90)
    assert found == Estimate(38, 5)
    assert found.words == "38 min from 5 days"


@pytest.mark.parametrize(
    ("times", "minutes", "words"),
    [
        (took(30), 60, "60 min from 1 day and the default"),
        (took(30, 40), 60, "60 min from 2 days and the default"),
        (took(30, 40, 44), 44, "44 min from 3 days and the default"),
    ],
)
def test_while_days_are_few_the_default_stands_in_for_the_missing(
    times: list[Took], minutes: int, words: str
) -> None:
    found = estimate(times, 60)
    assert (found.minutes, found.words) == (minutes, words)


def test_a_day_counts_once_however_many_jobs_it_had() -> None:
    many = [Took(FIRST + timedelta(days=99), 400)] * 30
    assert estimate([*took(30, 32, 34, 36, 38), *many], 60).minutes == 35


def test_only_the_newest_days_count() -> None:
    old, new = took(*[500] * 20), took(*[40] * 15, first=FIRST + timedelta(days=400))
    assert estimate([*old, *new], 60) == Estimate(40, 15)


def test_while_days_here_are_few_days_elsewhere_are_added() -> None:
    away = took(50, 52, 54, 56, 58, here=False)
    assert estimate([*took(51, 53), *away], 200) == Estimate(53, 7, 5)
    assert estimate([*took(51, 53), *away], 200).words == "53 min from 7 days, 5 of them elsewhere"
    assert estimate(away, 200).words == "54 min from 5 days, all elsewhere"
    assert estimate([*took(10, 10, 10, 10, 10), *away], 200) == Estimate(10, 5)


def test_a_typing_slip_of_twenty_hours_changes_next_to_nothing() -> None:
    good = took(34, 36, 38, 40, 42, 44, 46)
    slip = [*good[:-1], replace(good[-1], person_minutes=1200)]
    assert estimate(slip, 60) == estimate(good, 60)
    assert estimate(took(1200), 60).minutes == 60


@given(TIMES, MINUTES)
def test_the_estimate_lies_within_what_was_noted_and_is_never_zero(
    times: list[Took], default: int
) -> None:
    found = estimate(times, default)
    values = [row.person_minutes for row in times]
    if found.days < ENOUGH_DAYS:
        values.append(default)
    assert 1 <= min(values) <= found.minutes <= max(values)
    assert 0 <= found.elsewhere <= found.days <= 15


@given(TIMES, MINUTES, st.data())
def test_longer_times_never_give_a_shorter_estimate(
    times: list[Took], default: int, data: st.DataObject
) -> None:
    longer = [
        replace(row, person_minutes=row.person_minutes + data.draw(st.integers(0, 500)))
        for row in times
    ]
    assert estimate(longer, default).minutes >= estimate(times, default).minutes
    assert estimate(times, default + 100).minutes >= estimate(times, default).minutes


@given(st.lists(MINUTES, min_size=5, max_size=15), MINUTES, st.data())
def test_one_wrong_figure_moves_the_estimate_to_a_neighbour_at_most(
    minutes: list[int], wrong: int, data: st.DataObject
) -> None:
    at = data.draw(st.integers(0, len(minutes) - 1))
    changed = [*minutes[:at], wrong, *minutes[at + 1 :]]
    rank, middle = sorted(minutes), len(minutes) // 2
    low = rank[middle - 1 - (len(minutes) % 2 == 0)]
    high = rank[middle + 1 if middle + 1 < len(minutes) else middle]
    assert low <= estimate(took(*changed), 60).minutes <= high


def test_a_job_done_over_several_days_counts_its_sum_on_the_last() -> None:
    parts = [
        Part(1, FIRST, 60, finished=False),
        Part(2, FIRST, 25),
        Part(1, FIRST + timedelta(days=7), 45),
        Part(3, FIRST, 500, finished=False),
    ]
    assert whole_jobs(parts, here=False) == [
        Took(FIRST, 25, here=False),
        Took(FIRST + timedelta(days=7), 105, here=False),
    ]


def test_a_job_that_was_opened_again_counts_twice_and_not_its_sum() -> None:
    parts = [Part(1, FIRST, 60), Part(1, FIRST + timedelta(days=7), 45)]
    assert [row.person_minutes for row in whole_jobs(parts)] == [60, 45]
