"""A day of a look ahead against the judge of plans and against the real planner."""

from dataclasses import replace
from pathlib import Path

import pytest

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules import ahead_worlds as worlds
from workdays.planner.dayfile import day_from_text
from workdays.planner.solve import Limit, solve
from workdays.rules.ahead_tables import Tables, came_together
from workdays.rules.ahead_work import Yard
from workdays.rules.crew import violations
from workdays.rules.facts import DayFacts, Plan

DAYS = Path(__file__).resolve().parents[3] / "fixtures" / "days"


def example(name: str) -> DayFacts:
    return worlds.whole_day(day_from_text((DAYS / f"{name}.json").read_text()))


def ruled(facts: DayFacts) -> Plan:
    tables = Tables(worlds.ahead_of(facts))
    yard = Yard(tables)
    worked = yard.day(worlds.SATURDAY, came_together(tables.hands))
    return worlds.plan_of(facts, tables, yard, worked)


def with_adult_guardians(facts: DayFacts) -> DayFacts:
    """The same day, where minors are minded as sign-up has it: by an adult, and kept with them."""
    adults = {one.id for one in facts.people if one.adult}
    people = tuple(
        replace(one, guardian="p0") if one.guardian and one.guardian not in adults else one
        for one in facts.people
    )
    return replace(facts, people=people, ratios=replace(facts.ratios, minors_follow=True))


def minutes(facts: DayFacts, plan: Plan) -> int:
    return sum(facts.job[task.job].minutes for crew in plan.crews for task in crew.jobs)


def jobs(plan: Plan) -> int:
    return sum(len(crew.jobs) for crew in plan.crews)


@pytest.mark.parametrize("name", ["8x20s1", "25x60s1", "25x60s2", "60x150s1", "150x400s1"])
def test_a_day_of_the_rule_breaks_no_hard_rule(name: str) -> None:
    facts = example(name)
    plan = ruled(facts)
    assert violations(facts, plan) == []
    assert jobs(plan) > 0


def test_no_random_day_of_the_rule_breaks_a_hard_rule() -> None:
    """Minors, conservators, ratios of one, equipment that is not there, chains: all in play."""
    done = 0
    for number in range(150):
        drawn = random_day(number, people=4 + number % 14, jobs=3 + number % 17)
        facts = worlds.whole_day(with_adult_guardians(drawn))
        plan = ruled(facts)
        assert violations(facts, plan) == [], number
        done += jobs(plan)
    assert done > 150


@pytest.mark.parametrize("name", ["8x20s2", "25x60s1"])
def test_the_rule_does_nearly_what_the_planner_does(name: str) -> None:
    """Seven to ten person-minutes of ten, never more than a search could find."""
    facts = example(name)
    best = solve(facts, seed=1, limit=Limit(rounds=5000, proof=0, bound=False)).plan
    assert 0.7 <= minutes(facts, ruled(facts)) / minutes(facts, best) <= 1.1
