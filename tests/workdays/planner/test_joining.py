"""Crews of several searches put together: by the rules, and as well as trying everything."""

from itertools import combinations
from math import inf

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.workdays.planner.random_days import random_day
from workdays.planner.crews_met import CrewsMet, plan_of
from workdays.planner.index import Ground
from workdays.planner.joining import join
from workdays.planner.search import Search
from workdays.planner.searches import Searches
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Plan

# With those of the best plan a dozen at most: every set of them can be tried.
FEW = 7


def met_on(facts: DayFacts, seed: int, tries: int, most: float = inf) -> tuple[Searches, CrewsMet]:
    """Return searches of three seeds, and crews that they met on their way."""
    searches = Searches(Ground(facts), seed)
    searches.begin(None)
    for turn in range(3):
        if turn:
            searches.begin_anew(None)
        for _ in range(6):
            searches.now.improve(tries, 0.9)
            if len(searches.met) < most:
                searches.met.note(searches.now)
    return searches, searches.met


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 10**6), st.integers(0, 5))
def test_a_joined_plan_breaks_no_rule_and_is_no_worse(number: int, seed: int) -> None:
    facts = random_day(number, people=9, jobs=14)
    searches, met = met_on(facts, seed, 40)
    best = met.note_kept(searches.best_search())
    crews = join(searches.ground, met.crews, best, 5, seconds=None, ended=None)
    plan = plan_of(searches.ground, crews)
    assert violations(facts, plan) == []
    nothing = value(facts, Plan()).total
    assert value(facts, plan).total >= searches.best + nothing
    again = Search(searches.ground, seed)
    again.enter(plan)
    assert again.best + nothing == value(facts, plan).total, "the search goes on from all of it"


@pytest.mark.parametrize("number", range(8))
def test_a_joined_plan_is_as_good_as_trying_every_set_of_the_crews(number: int) -> None:
    """Tried by the checker and the points alone, which share no code with the packing."""
    facts = random_day(number, people=6, jobs=8)
    searches, met = met_on(facts, number, 3, most=FEW)
    best = met.note_kept(searches.best_search())
    crews = join(searches.ground, met.crews, best, 5, seconds=None, ended=None)
    assert len(met) > len(crews), "some crews are to be chosen among"
    assert value(facts, plan_of(searches.ground, crews)).total == best_of_all_sets(
        facts, searches.ground, met
    )


def best_of_all_sets(facts: DayFacts, ground: Ground, met: CrewsMet) -> int:
    """The most points of any set of these crews that breaks no rule."""
    every, best = list(met.crews.values()), value(facts, Plan()).total
    for count in range(1, len(every) + 1):
        for some in combinations(every, count):
            plan = plan_of(ground, list(some))
            worth = value(facts, plan).total
            if worth > best and not violations(facts, plan):
                best = worth
    return best


def test_who_stops_the_joining_has_the_best_plan_so_far() -> None:
    searches, met = met_on(random_day(5, people=9, jobs=14), 1, 40)
    best = met.note_kept(searches.best_search())
    crews = join(searches.ground, met.crews, best, 0, seconds=None, ended=lambda: True)
    worth = value(searches.ground.facts, plan_of(searches.ground, crews)).total
    assert worth >= searches.best + value(searches.ground.facts, Plan()).total


def test_a_plan_joined_of_several_searches_is_the_same_each_time() -> None:
    facts = random_day(3, people=14, jobs=24)
    limit = Limit(rounds=120_000, proof=0)
    found = solve(facts, limit=limit)
    assert violations(facts, found.plan) == []
    assert solve(facts, limit=limit) == found
