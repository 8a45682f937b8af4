"""The planner as a whole: sound plans, the same for the same question, proved where small."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day, job, person
from workdays.planner.dayfile import day_from_text
from workdays.planner.explain import explain
from workdays.planner.solve import CHUNK, Limit, Progress, solve
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Interval, JobFacts, JobPin, PersonPin, Plan

DAYS = Path(__file__).parents[3] / "fixtures" / "days"
QUICK = Limit(rounds=300, proof=0)
QUICK_PROOF = Limit(rounds=60)


def example(name: str) -> DayFacts:
    """One of the example days."""
    return day_from_text((DAYS / f"{name}.json").read_text())


@pytest.mark.parametrize(("name", "best"), [("8x20s1", 376), ("8x20s2", 383)])
def test_a_small_example_day_is_planned_best_and_proved(name: str, best: int) -> None:
    """The best values known of the project's example days, fixtures/days/figures.csv."""
    found = solve(example(name), limit=Limit(rounds=1000))
    assert (found.value.total, found.bound, found.proved) == (best, best, True)


def test_a_larger_day_beats_the_careful_rule_and_stays_below_its_bound() -> None:
    """790 is what the careful rule of thumb makes of this day, fixtures/days/figures.csv."""
    found = solve(example("25x60s1"), limit=QUICK)
    assert violations(example("25x60s1"), found.plan) == []
    assert found.bound is not None
    assert 790 < found.value.total <= found.bound
    assert not found.proved
    assert found.gap is not None
    assert found.gap > 0


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 5))
def test_no_plan_ever_breaks_a_rule(number: int, seed: int) -> None:
    facts = random_day(number, people=9, jobs=14)
    found = solve(facts, seed=seed, limit=QUICK)
    assert violations(facts, found.plan) == []
    assert value(facts, found.plan) == found.value
    assert found.bound is None or found.value.total <= found.bound
    assert all(reason.sentence.endswith(".") for reason in explain(facts, found.plan))


@settings(max_examples=8, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 5))
def test_the_same_facts_seed_and_rounds_give_the_same_plan(number: int, seed: int) -> None:
    facts = random_day(number, people=6, jobs=8)
    limit = Limit(rounds=150, proof=1)
    assert solve(facts, seed=seed, limit=limit) == solve(facts, seed=seed, limit=limit)


EDGES: list[tuple[str, DayFacts]] = [
    ("nobody", day(people=())),
    ("no job", day(jobs=())),
    ("nobody and nothing", day(people=(), jobs=(), kinds=(), sections=())),
    ("nobody qualified", day(people=(person("ann", leads=False), person("bob", leads=False)))),
    ("one person", day(people=(person("ann"),), jobs=(job("k1", "rake", min_people=1),))),
    ("all minors", day(people=(person("a", adult=False, guardian="b"), person("b", adult=False)))),
    ("guardian absent", day(people=(person("a", adult=False, guardian="gone"), person("b")))),
    ("no waiver", day(people=tuple(person(key, waiver=False) for key in "abc"))),
    ("no minutes", day(jobs=(job("k1", "rake", minutes=0), job("k2", "rake", minutes=0)))),
    ("20 hours", day(jobs=(job("k1", "rake", minutes=1200 * 4),))),
    ("a circle", day(jobs=(job("k1", "rake", after=("k2",)), job("k2", "rake", after=("k1",))))),
    ("itself first", day(jobs=(job("k1", "rake", after=("k1",)),))),
    ("no equipment", day(jobs=(job("k1", "rake", kit={"barrow": 1}),), kit={"barrow": 0})),
    ("no hours", day(jobs=(job("k1", "rake", windows=()),))),
    ("blocked", day(jobs=(job("k1", "rake", blocked="The stone is left alone."),))),
    ("crews of none", replace(day(), ratios=replace(day().ratios, max_crew=0))),
    ("minors follow", replace(day(), ratios=replace(day().ratios, minors_follow=True))),
]


@pytest.mark.parametrize(("name", "facts"), EDGES)
@pytest.mark.parametrize("limit", [QUICK, Limit(rounds=50, proof=5)])
def test_an_odd_day_gets_a_plan_or_a_reason(name: str, facts: DayFacts, limit: Limit) -> None:
    found = solve(facts, limit=limit)
    assert violations(facts, found.plan) == []
    done = {task.job for crew in found.plan.crews for task in crew.jobs}
    reasons = {reason.id for reason in explain(facts, found.plan) if reason.what == "job"}
    assert done | reasons == set(facts.job)


def test_five_thousand_jobs_get_a_plan_at_once() -> None:
    many = tuple(job(f"k{i}", "rake", section=f"S{i % 2 + 1}") for i in range(5000))
    facts = day(jobs=many)
    found = solve(facts, limit=Limit(rounds=0, bound=False))
    assert len(found.plan.crews) > 4


def test_progress_shows_checked_plans_that_get_better_and_may_cancel() -> None:
    seen: list[Progress] = []

    def watch(progress: Progress) -> bool:
        seen.append(progress)
        return len(seen) == 3

    facts = example("25x60s1")
    found = solve(facts, limit=Limit(rounds=1_000_000, proof=0), progress=watch)
    totals = [progress.value.total for progress in seen]
    assert totals == sorted(totals)
    assert all(violations(facts, progress.plan) == [] for progress in seen)
    assert found.rounds < 1_000_000
    assert found.value.total >= totals[2]


def test_who_watches_is_told_when_due_with_a_bound_and_changes_nothing() -> None:
    facts, seen = example("25x60s1"), list[Progress]()
    asked = iter(range(10**6))
    alone = solve(facts, limit=Limit(rounds=4 * CHUNK, proof=0))
    watched = solve(
        facts,
        limit=Limit(rounds=4 * CHUNK, proof=0),
        progress=seen.append,
        due=lambda: next(asked) % 2 == 0,
    )
    assert watched == alone
    assert [step.round for step in seen] == [0, 0, 2 * CHUNK, 4 * CHUNK]
    assert [step.bound for step in seen] == [None, *3 * [alone.bound]]
    assert all(violations(facts, step.plan) == [] for step in seen)


def test_a_closer_bound_is_given_up_when_who_watches_says_stop() -> None:
    ticks, told = iter(range(10**6)), iter([False, False, True])
    found = solve(
        example("25x60s1"),
        limit=Limit(rounds=CHUNK, seconds=10**6, closer=10**6 - 1, proof=0),
        clock=lambda: float(next(ticks)),
        progress=lambda step: next(told),
        due=lambda: True,
    )
    assert found.bound is not None
    assert found.rounds <= CHUNK


def test_who_watches_is_told_during_a_proof_and_may_end_it() -> None:
    told = iter([False, False, False, True])  # at once, with a bound, after the tries, in the proof
    found = solve(
        example("8x20s1"),
        limit=Limit(rounds=CHUNK, proof=10**6),
        clock=lambda: 0.0,
        progress=lambda step: next(told),
        due=lambda: True,
    )
    assert list(told) == []
    assert not found.proved
    assert found.rounds == CHUNK


def test_a_run_stops_by_the_clock_that_is_handed_in_and_when_good_enough() -> None:
    ticks = iter(range(1000))
    found = solve(
        example("25x60s1"),
        limit=Limit(rounds=10**9, seconds=5, proof=0, bound=False),
        clock=lambda: float(next(ticks)),
    )
    assert found.rounds == 4 * CHUNK
    assert found.bound is None
    assert found.gap is None
    found = solve(example("8x20s1"), limit=Limit(rounds=10**6, proof=0, stop_at=300))
    assert found.value.total >= 300
    assert found.rounds < 10**6


def test_pins_are_kept_and_pins_that_cannot_be_are_named() -> None:
    facts = day(pins=(PersonPin("hal", 1, "ben"), PersonPin("ivy", 0, None)))
    held = replace(facts, job_pins=(JobPin("k2", 1, "ben"),))
    for limit in (QUICK, Limit(rounds=50)):
        found = solve(held, limit=limit)
        assert found.clashes == ()
        assert violations(held, found.plan) == []
    apart = replace(day(), pins=(PersonPin("hal", 1, "ana"),))
    found = solve(apart, limit=QUICK)
    assert [clash.rule for clash in found.clashes] == ["pin"]
    assert not found.proved


def test_a_published_plan_is_kept_where_nothing_is_won() -> None:
    facts = random_day(3, people=5, jobs=6)
    before = solve(facts).plan
    found = solve(replace(facts, before=before))
    assert before.crews
    assert found.proved
    assert (found.value.moved, found.value.dropped) == (0, 0)


def test_work_waits_for_the_hours_and_the_supervisor() -> None:
    late = replace(
        day(),
        jobs=(
            job("r1", "reset", lifters=2, windows=(Interval(0, 3), Interval(5, 12))),
            job("k1", "rake", windows=(Interval(2, 24),)),
        ),
    )
    for limit in (QUICK, Limit(rounds=20)):
        found = solve(late, limit=limit)
        assert violations(late, found.plan) == []
        assert {t.job for c in found.plan.crews for t in c.jobs} == {"r1", "k1"}


def test_an_empty_plan_explains_everything() -> None:
    facts = example("25x60s1")
    reasons = explain(facts, Plan())
    assert len(reasons) == 25 + 60


@pytest.mark.parametrize(
    ("wanted", "sentence"),
    [
        (job("k1", "rake", kit={"hoist": 2}), "It takes 2 x hoist; 1 is there."),
        (job("k1", "rake", kit={"bar": 1}), "It takes 1 x bar; 0 are there."),
        (job("k1", "rake", lifters=3), "It takes 3 who can lift; 1 is there."),
        (job("k1", "rake", min_people=3), "It takes 3 people; 2 who may do such work are there."),
    ],
)
def test_what_is_there_is_counted_in_plain_words(wanted: JobFacts, sentence: str) -> None:
    two = (person("ana"), person("ivy", lift=False))
    reasons = explain(day(people=two, jobs=(wanted,)), Plan())
    assert [one.sentence for one in reasons if one.what == "job"] == [sentence]


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 10**6))
def test_one_more_volunteer_costs_at_most_their_own_idle_time(number: int) -> None:
    """Whoever comes may be left out: the proved optimum falls by no more than that."""
    more = random_day(number, people=5, jobs=5)
    newcomer = more.people[-1]
    free = replace(newcomer, adult=True, guardian=None, party=None)
    more = replace(more, people=(*more.people[:-1], free))
    fewer = replace(more, people=more.people[:-1])
    with_them, without = solve(more, limit=QUICK_PROOF), solve(fewer, limit=QUICK_PROOF)
    assert with_them.proved
    assert without.proved
    idle = sum(newcomer.slots_in(block) for block in more.blocks)
    assert with_them.value.total >= without.value.total - more.weights.idle * idle
