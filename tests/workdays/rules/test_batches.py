"""Jobs that use up whole batches, checked against every possible set."""

from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from workdays.rules.batches import (
    Bucket,
    Filling,
    Use,
    batches_heading,
    day_words_of,
    filling_words,
    fillings,
    litres,
)

BUCKET = Bucket(decilitres=120, minutes=240)


def use(job: int, decilitres: int, *, priority: int = 50, minutes: int = 30) -> Use:
    return Use(job, priority, decilitres, minutes)


def jobs(*uses: Use) -> list[tuple[int, ...]]:
    return [filling.jobs for filling in fillings(uses, BUCKET)]


def test_four_seams_of_three_litres_use_up_a_bucket_of_twelve() -> None:
    (only,) = fillings([use(n, 30) for n in range(1, 5)], BUCKET)
    assert only == Filling(1, (1, 2, 3, 4), 120, 0, 120)


def test_the_most_urgent_job_comes_first_and_the_rest_fills_up_what_it_leaves() -> None:
    seven, five, six, other = use(1, 70, priority=90), use(2, 50), use(3, 60), use(4, 60)
    assert jobs(six, other, five, seven) == [(1, 2), (3, 4)]


def test_of_sets_that_fill_alike_the_one_with_the_more_urgent_jobs_is_taken() -> None:
    first, low, high = use(1, 60, priority=90), use(2, 60, priority=10), use(3, 60, priority=80)
    assert jobs(first, low, high) == [(1, 3), (2,)]


def test_what_cannot_be_used_before_it_sets_goes_into_another_batch() -> None:
    slow = [use(n, 40, minutes=121) for n in range(1, 4)]
    assert jobs(*slow) == [(1,), (2,), (3,)]
    assert jobs(*[use(n, 40, minutes=120) for n in range(1, 4)]) == [(1, 2), (3,)]


def test_a_job_larger_or_longer_than_a_batch_gets_several() -> None:
    (large,) = fillings([use(1, 150), use(2, 90)], BUCKET)
    assert (large.batches, large.jobs, large.left_over) == (2, (1, 2), 0)
    (long,) = fillings([use(1, 30, minutes=241)], BUCKET)
    assert (long.batches, long.left_over) == (2, 210)


def test_no_job_no_batch() -> None:
    assert fillings([], BUCKET) == []
    assert day_words_of([], BUCKET) == "No job that is ready uses it."


USES = st.lists(
    st.tuples(st.integers(1, 100), st.integers(1, 120), st.integers(5, 240)),
    min_size=1,
    max_size=6,
).map(lambda rows: [Use(n, *row) for n, row in enumerate(rows)])
# The examples are small: where drawing them takes long, the machine has other work.
on_a_busy_machine = settings(deadline=None, suppress_health_check=[HealthCheck.too_slow])


@given(USES)
@on_a_busy_machine
def test_the_first_batch_is_the_best_of_all_sets_with_the_most_urgent_job(uses: list[Use]) -> None:
    first, *others = sorted(uses, key=lambda use: (-use.priority, use.job))
    sets = [
        (first, *more) for size in range(len(others) + 1) for more in combinations(others, size)
    ]
    fitting = [
        chosen
        for chosen in sets
        if sum(use.decilitres for use in chosen) <= BUCKET.decilitres
        and sum(use.minutes for use in chosen) <= BUCKET.minutes
    ]
    best = max(
        fitting,
        key=lambda chosen: (
            sum(use.decilitres for use in chosen),
            [use in chosen for use in (first, *others)],
        ),
    )
    assert fillings(uses, BUCKET)[0].jobs == tuple(use.job for use in best)


@given(USES)
@on_a_busy_machine
def test_every_job_is_in_one_batch_and_no_batch_overflows(uses: list[Use]) -> None:
    found = fillings(uses, BUCKET)
    assert sorted(job for filling in found for job in filling.jobs) == [use.job for use in uses]
    for filling in found:
        assert 0 <= filling.left_over == filling.batches * 120 - filling.decilitres
        assert filling.minutes <= filling.batches * 240


def test_a_bucket_that_holds_more_jobs_than_are_weighed_at_once_is_filled_on() -> None:
    many = [use(n, 10 + n, priority=100 - n, minutes=30 + n) for n in range(60)]
    found = fillings(many, Bucket(decilitres=1200, minutes=2400))
    assert sum(len(filling.jobs) for filling in found) == 60
    assert found[0].left_over == 0


@pytest.mark.parametrize(
    ("filling", "words"),
    [
        (Filling(1, (1,), 120, 0, 30), "1 batch of 12 litres: nothing is left over."),
        (Filling(2, (1,), 240, 0, 30), "2 batches of 24 litres: nothing is left over."),
        (Filling(1, (1,), 95, 25, 30), "1 batch: 9.5 of 12 litres are used, 2.5 are left over."),
        (Filling(1, (1,), 110, 10, 30), "1 batch: 11 of 12 litres are used, 1 is left over."),
    ],
)
def test_how_full_a_batch_gets_is_said(filling: Filling, words: str) -> None:
    assert filling_words(filling, BUCKET) == words


def test_one_litre_is_said_as_one() -> None:
    litre, two = Bucket(decilitres=10, minutes=60), Bucket(decilitres=20, minutes=60)
    assert filling_words(Filling(1, (1,), 10, 0, 30), litre) == (
        "1 batch of 1 litre: nothing is left over."
    )
    assert filling_words(Filling(1, (1,), 6, 4, 30), litre) == (
        "1 batch: 0.6 of 1 litre is used, 0.4 are left over."
    )
    assert filling_words(Filling(1, (1,), 10, 10, 30), two) == (
        "1 batch: 1 of 2 litres is used, 1 is left over."
    )
    assert day_words_of([Filling(1, (1,), 110, 10, 30)], BUCKET) == (
        "1 job fills 1 batch, 1 litre is left over."
    )
    assert day_words_of([Filling(1, (1,), 10, 110, 30)], BUCKET) == (
        "1 litre is wanted: not worth a batch yet."
    )


def test_half_a_bucket_thrown_away_is_said() -> None:
    half, more = Filling(1, (1,), 60, 60, 30), Filling(1, (1,), 59, 61, 30)
    assert not half.wastes_half(BUCKET)
    assert more.wastes_half(BUCKET)
    assert "More than half a batch would be thrown away" in filling_words(more, BUCKET)


def test_what_is_worth_mixing_on_a_day_is_one_sentence() -> None:
    full, some, poor = (
        Filling(1, (1, 2), 120, 0, 60),
        Filling(1, (3,), 100, 20, 30),
        Filling(1, (4,), 30, 90, 30),
    )
    assert day_words_of([full], BUCKET) == "2 jobs fill 1 batch, nothing is left over."
    assert day_words_of([full, some, poor], BUCKET) == (
        "3 jobs fill 2 batches, 2 litres are left over."
    )
    assert day_words_of([some], BUCKET) == "1 job fills 1 batch, 2 litres are left over."
    assert day_words_of([poor], BUCKET) == "3 litres are wanted: not worth a batch yet."


def test_decilitres_are_said_in_litres() -> None:
    assert litres(125) == "12.5"
    assert litres(120) == "12"


def test_the_heading_answers_for_one_material_and_counts_several() -> None:
    one = batches_heading("Alder Hill", "Saturday 9 May", ["No job that is ready uses it."])
    assert one == "Alder Hill, Saturday 9 May: no job that is ready uses it"
    two = batches_heading("Alder Hill", "Saturday 9 May", ["a.", "b."])
    assert two == "Alder Hill, Saturday 9 May: batches of 2 mixed materials"
