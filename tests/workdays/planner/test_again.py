"""Planning a large day again at a quarter past: few people move, what has begun goes on."""

from dataclasses import replace

import pytest

from tests.workdays.planner.test_solve import example
from workdays.planner.solve import Limit, solve
from workdays.rules.begun import going_on
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan

FEW = Limit(rounds=3_000, proof=0, bound=False)


@pytest.fixture(scope="module")
def published() -> tuple[DayFacts, Plan]:
    """The day of sixty people, and a plan of it."""
    facts = example("60x150s1")
    return facts, solve(facts, limit=FEW).plan


def at_a_quarter_past(facts: DayFacts, before: Plan, gone: set[str], most: int) -> DayFacts:
    """The day without some people."""
    here = tuple(one if one.id not in gone else replace(one, leave=0) for one in facts.people)
    return replace(facts, people=here, before=before, now=1, max_moved=most)


def test_after_three_no_shows_few_people_move(published: tuple[DayFacts, Plan]) -> None:
    facts, before = published
    crews = sorted(before.crews, key=lambda crew: (crew.block, crew.leader))
    gone = {crews[0].members[-1], crews[1].members[-1], crews[2].leader}
    later = at_a_quarter_past(facts, before, gone, 10)
    found = solve(later, limit=FEW, start=before)
    assert violations(later, found.plan) == []
    begun = {
        task.job: (crew.block, crew.leader, task.start)
        for crew in found.plan.crews
        for task in crew.jobs
    }
    assert {key: begun[key] for key in going_on(later)} == going_on(later)
    assert value(facts, found.plan).total > 0.9 * value(facts, before).total


def test_with_everybody_here_and_nobody_to_move_the_published_plan_holds(
    published: tuple[DayFacts, Plan],
) -> None:
    facts, before = published
    later = at_a_quarter_past(facts, before, set(), 0)
    found = solve(later, limit=replace(FEW, rounds=500), start=before)
    assert violations(later, found.plan) == []
    assert found.value.total >= value(later, before).total


def test_with_everybody_gone_there_is_a_plan_of_nothing(published: tuple[DayFacts, Plan]) -> None:
    facts, before = published
    later = at_a_quarter_past(facts, before, {one.id for one in facts.people}, 0)
    found = solve(later, limit=replace(FEW, rounds=50), start=before)
    assert (found.plan.crews, found.clashes) == ((), ())
