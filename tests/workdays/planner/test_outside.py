"""The planner against others: exhaustive search, and a published solver of assignments."""

from dataclasses import replace
from random import Random

import pytest
from scipy.optimize import linear_sum_assignment

from tests.workdays.planner.exhaustive import best_value
from tests.workdays.planner.random_days import random_day
from workdays.planner.solve import Limit, solve
from workdays.rules.facts import (
    BlockFacts,
    DayFacts,
    Interval,
    JobFacts,
    KindFacts,
    PersonFacts,
    Ratios,
    SectionFacts,
    Weights,
)

ONE_BLOCK = (BlockFacts("morning", 0, 6),)
LIMIT = Limit(rounds=60)


@pytest.mark.parametrize("ten", range(16))
def test_the_optimum_is_that_of_exhaustive_search_on_one_block(ten: int) -> None:
    """160 random days of four people and five jobs, every rule in play."""
    for number in range(10 * ten, 10 * ten + 10):
        same_optimum(random_day(number, people=4, jobs=5, blocks=ONE_BLOCK))


@pytest.mark.parametrize("ten", range(4))
def test_the_optimum_is_that_of_exhaustive_search_on_two_blocks(ten: int) -> None:
    """40 random days of three people and three jobs in two blocks."""
    for number in range(1000 + 10 * ten, 1010 + 10 * ten):
        same_optimum(random_day(number, people=3, jobs=3))


@pytest.mark.parametrize("number", range(2000, 2004))
def test_the_optimum_is_that_of_exhaustive_search_where_one_supervises_others(number: int) -> None:
    """4 random days of five people who reset: crews under a supervisor in another crew."""
    facts = random_day(number, people=5, jobs=4, blocks=ONE_BLOCK)
    resets = tuple(replace(job, kind="reset", kit={}, max_people=2) for job in facts.jobs)
    same_optimum(replace(facts, jobs=resets))


@pytest.mark.parametrize("number", range(3000, 3012))
def test_the_optimum_is_that_of_exhaustive_search_where_work_is_to_be_fair(number: int) -> None:
    """12 random days on which half of the people have raked and cleaned enough."""
    facts = random_day(number, people=4, jobs=4, blocks=ONE_BLOCK)
    people = tuple(
        replace(p, enough=("rake", "clean")) if i % 2 else p for i, p in enumerate(facts.people)
    )
    same_optimum(replace(facts, people=people, weights=Weights(fairness=9)))


def test_short_walks_are_found_nearly_always_as_by_exhaustive_search() -> None:
    """30 random days with stones up to 90 metres apart; 1 in 10 may be missed, none surpassed."""
    missed = 0
    for number in range(4000, 4030):
        rng = Random(number)
        facts = random_day(number, people=3, jobs=4, blocks=ONE_BLOCK)
        jobs = tuple(replace(j, x=rng.randrange(90), y=rng.randrange(90)) for j in facts.jobs)
        facts = replace(facts, jobs=jobs, weights=Weights(walk=1))
        found, best = solve(facts, limit=Limit(rounds=400)), best_value(facts)
        assert found.value.total <= best <= (found.bound or 0)
        missed += found.value.total < best
    assert missed <= 3


def same_optimum(facts: DayFacts) -> None:
    """Fail unless the planner proves exactly the best value that trying everything finds."""
    found = solve(facts, limit=LIMIT)
    assert (found.proved, found.value.total) == (True, best_value(facts))


def test_the_search_alone_finds_the_optimum_of_tiny_days_nearly_always() -> None:
    missed = 0
    for number in range(60):
        facts = random_day(number, people=4, jobs=4, blocks=ONE_BLOCK)
        quick = solve(facts, limit=Limit(rounds=400, proof=0))
        sure = solve(facts, limit=LIMIT)
        assert quick.value.total <= sure.value.total <= (quick.bound or 0)
        missed += quick.value.total < sure.value.total
    assert missed <= 3


def assignment_day(rng: Random, people: int, jobs: int) -> DayFacts:
    """One block, crews of one, each job fills the block: one person does one job."""
    kinds = tuple(KindFacts(f"k{i}", f"s{i}", leader_level=2) for i in range(3))
    return DayFacts(
        blocks=(BlockFacts("morning", 0, 4),),
        people=tuple(
            PersonFacts(
                f"p{i}",
                0,
                4,
                levels={f"s{k}": rng.choice((1, 2, 2)) for k in range(3)},
                leads=True,
                goal=rng.choice((None, "s0", "s1", "s2")),
            )
            for i in range(people)
        ),
        jobs=tuple(
            JobFacts(
                f"j{i}",
                rng.choice(kinds).id,
                "S1",
                60,
                rng.randrange(1, 100),
                1,
                1,
                (Interval(0, 4),),
            )
            for i in range(jobs)
        ),
        kinds=kinds,
        sections=(SectionFacts("S1"),),
        ratios=Ratios(max_crew=1),
        weights=Weights(),
    )


@pytest.mark.parametrize("seed", range(6))
def test_one_person_one_job_is_the_linear_assignment(seed: int) -> None:
    """Against scipy.optimize.linear_sum_assignment (SciPy; the version is in requirements.lock).

    The points of a pair are priority, lesson and four quarter hours not idle; 0 where the person
    may not do the job. Days too large for the proof (20 x 30) must meet the value as well.
    """
    people, jobs = (8, 12) if seed < 3 else (20, 30)
    facts = assignment_day(Random(seed), people, jobs)
    points = [[_points(facts, person, job) for job in facts.jobs] for person in facts.people]
    rows, columns = linear_sum_assignment(points, maximize=True)
    best = sum(points[i][j] for i, j in zip(rows, columns, strict=True)) - 4 * people
    found = solve(facts, seed=seed, limit=Limit(rounds=4000))
    assert found.value.total == best


def _points(facts: DayFacts, person: PersonFacts, job: JobFacts) -> int:
    kind = facts.kind[job.kind]
    if person.level(kind.skill) < kind.leader_level:
        return 0
    return job.priority + facts.weights.training * (person.goal == kind.skill) + 4
