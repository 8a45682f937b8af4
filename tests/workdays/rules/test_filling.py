"""A day filled with ready jobs."""

from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.filling import Candidate, budget, fill


def test_the_most_urgent_come_first_and_shorter_ones_fill_the_rest() -> None:
    jobs = [Candidate(1, 90, 100), Candidate(2, 80, 80), Candidate(3, 10, 50)]
    assert fill(jobs, [], minutes=150) == [1, 3]
    assert fill(jobs, [], minutes=180) == [1, 2]
    assert fill(jobs, [], minutes=49) == []


def test_what_was_chosen_stays_even_when_it_is_too_much() -> None:
    jobs = [Candidate(1, 90, 100), Candidate(2, 1, 80)]
    assert fill(jobs, [2], minutes=50) == [2]


def test_a_job_brings_what_must_come_before_it_or_stays_out() -> None:
    jobs = [Candidate(1, 90, 60, frozenset({2})), Candidate(2, 1, 60)]
    assert set(fill(jobs, [], minutes=120)) == {1, 2}
    assert fill(jobs, [], minutes=119) == [2]
    assert fill([jobs[0]], [], minutes=1000) == []


def test_jobs_that_wait_for_each_other_are_taken_together() -> None:
    jobs = [Candidate(1, 5, 60, frozenset({2})), Candidate(2, 5, 60, frozenset({1}))]
    assert set(fill(jobs, [], minutes=120)) == {1, 2}
    assert fill(jobs, [], minutes=119) == []


def test_a_day_holds_its_places_times_its_hours() -> None:
    assert budget(people=20, work_minutes=330) == 6600


CANDIDATES = st.lists(
    st.builds(
        Candidate,
        st.integers(1, 12),
        st.integers(1, 100),
        st.integers(5, 300),
        st.frozensets(st.integers(1, 14), max_size=2),
    ),
    unique_by=lambda row: row.job,
)


@given(CANDIDATES, st.integers(0, 900))
def test_a_suggestion_never_passes_what_a_day_holds_nor_leaves_a_chain_open(
    jobs: list[Candidate], minutes: int
) -> None:
    by_id = {row.job: row for row in jobs}
    picked = fill(jobs, [], minutes=minutes)
    assert sum(by_id[job].minutes for job in picked) <= minutes
    assert len(set(picked)) == len(picked)
    assert all(by_id[job].after <= set(picked) for job in picked)
