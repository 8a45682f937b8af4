"""The bound by column generation: valid on small days, close on the example days."""

from dataclasses import replace
from itertools import count
from pathlib import Path

import pytest

from tests.workdays.planner.exhaustive import best_value
from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day, job
from workdays.planner.bound import upper_bound
from workdays.planner.column_bound import column_bound
from workdays.planner.dayfile import day_from_text, plan_from_text
from workdays.planner.index import Ground
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import value
from workdays.rules.facts import DayFacts, KindFacts, PersonPin, Plan

DAYS = Path(__file__).parents[3] / "fixtures" / "days"
WORK = 300
PROVED = 12  # a random day whose bound before any branch is above its best plan


def bound_of(facts: DayFacts, floor: int | None = None, work: int = WORK) -> int:
    """The bound as the value of a plan; the clock counts how often it is read, which is work."""
    empty = value(facts, Plan()).total
    known = None if floor is None else floor - empty
    found = column_bound(Ground(facts), seconds=work, clock=count().__next__, floor=known)
    assert found is not None
    return found + empty


def no_bound(facts: DayFacts, seconds: float = WORK) -> int | None:
    return column_bound(Ground(facts), seconds=seconds, clock=count().__next__)


@pytest.mark.parametrize("number", range(5))
def test_no_plan_of_a_tiny_day_passes_the_bound(number: int) -> None:
    facts = random_day(number, people=3, jobs=3)
    assert bound_of(facts) >= best_value(facts)


def test_no_proved_plan_passes_the_bound_and_it_is_closer_than_pooled_hours() -> None:
    gaps = []
    for number in range(4):
        facts = random_day(number, people=6, jobs=9)
        best = solve(facts, limit=Limit(rounds=300, proof=20))
        pooled = upper_bound(Ground(facts))
        assert best.proved
        assert pooled is not None
        bound = bound_of(facts)
        assert bound >= best.value.total
        gaps.append((bound - best.value.total, pooled + value(facts, Plan()).total - bound))
    assert sum(column for column, _ in gaps) < sum(pooled for _, pooled in gaps) / 2


@pytest.mark.parametrize(("name", "most"), [("8x20s1", 390), ("8x20s2", 395)])
def test_the_bound_of_a_small_example_day_is_close_to_its_best_plan(name: str, most: int) -> None:
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    plan = plan_from_text((DAYS / f"{name}.best-plan.json").read_text())
    assert value(facts, plan).total <= bound_of(facts) <= most


def test_branches_prove_the_best_plan_of_a_day() -> None:
    facts = random_day(PROVED, people=6, jobs=9)
    best = solve(facts, limit=Limit(rounds=300, proof=20)).value.total
    assert bound_of(facts, work=200) > best
    assert bound_of(facts, floor=best, work=5_000) == best


def test_pins_and_a_published_plan_are_counted() -> None:
    facts = random_day(3, people=5, jobs=6)
    before = solve(facts).plan
    crew = before.crews[0]
    pins = tuple(PersonPin(key, crew.block, crew.leader) for key in crew.members)
    for changed in (replace(facts, pins=pins), replace(facts, before=before)):
        found = solve(changed)
        assert not found.clashes
        assert found.value.total <= bound_of(changed) < found.value.total + 60


def test_days_without_work_have_nothing_above_an_empty_plan() -> None:
    for facts in (day(people=()), day(jobs=()), day(people=(), jobs=(), kinds=(), sections=())):
        assert no_bound(facts) == 0


def test_work_that_nobody_may_do_is_worth_nothing() -> None:
    nobody = tuple(replace(person, leads=False) for person in day().people)
    assert no_bound(day(people=nobody)) == 0


def test_without_time_or_with_too_many_sorts_of_work_there_is_no_bound() -> None:
    assert no_bound(day(), seconds=0) is None
    kinds = tuple(KindFacts(f"k{i}", f"skill {i}") for i in range(9))
    jobs = tuple(job(f"j{i}", f"k{i}") for i in range(9))
    assert no_bound(day(kinds=kinds, jobs=jobs)) is None
