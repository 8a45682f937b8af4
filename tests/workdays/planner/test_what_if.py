"""What would change a plan: never a loss, the same for the same question, said as at least."""

from dataclasses import replace

import pytest

from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day, job, person
from workdays.planner.solve import Limit, solve
from workdays.planner.what_if import MORE, Change, Gain, better, changes, gain_of
from workdays.rules.crew import value, violations
from workdays.rules.facts import DayFacts, Interval, Plan

QUICK = {"rounds": 50, "seed": 3}


def words(facts: DayFacts) -> list[str]:
    """The changes of a day in words."""
    return [change.words for change in changes(facts)]


def test_the_list_names_people_equipment_and_an_hour_by_their_labels() -> None:
    wanted = (job("r1", "reset", kit={"hoist": 1}), job("k1", "rake"))
    facts = day(jobs=wanted, labels={"hoist": "tripod hoist", "reset": "resetting"})
    assert words(facts) == [
        "One more person, new to the work",
        "One more person taught in rake",
        "One more person signed off in rake",
        "One more supervisor of rake",
        "One more person taught in resetting",
        "One more person signed off in resetting",
        "One more supervisor of resetting",
        "One more tripod hoist",
        "One hour more for all who stay to the end",
    ]
    assert words(day(jobs=(), blocks=())) == ["One more person, new to the work"]


def test_one_more_leads_from_signed_off_upwards_and_speaks_any_language() -> None:
    leads = {c.words: c.facts.person[MORE].leads for c in changes(day()) if MORE in c.facts.person}
    assert [key for key, led in leads.items() if "taught" in key or "new" in key if led] == []
    assert all(led for key, led in leads.items() if "signed off" in key or "supervisor" in key)


def test_an_hour_more_moves_only_what_ends_with_the_day() -> None:
    facts = day(
        people=(person("ana"), person("bob", leave=20)),
        jobs=(job("k1", "rake"), job("k2", "rake", windows=(Interval(0, 12),))),
    )
    hour = next(change.facts for change in changes(facts) if "hour" in change.words)
    assert [block.end for block in hour.blocks] == [12, 28]
    assert [p.leave for p in hour.people] == [28, 20]
    assert [j.windows[0].end for j in hour.jobs] == [28, 12]


@pytest.mark.parametrize("number", range(4))
def test_no_change_is_said_to_bring_what_its_plan_does_not_bring(number: int) -> None:
    facts = random_day(number, people=5, jobs=8)
    plan = better(facts, Plan(), **QUICK)
    again = better(facts, plan, **QUICK)
    assert violations(facts, again) == []
    assert value(facts, again).total >= value(facts, plan).total
    for change in changes(facts):
        found = better(change.facts, plan, **QUICK)
        assert violations(change.facts, found) == []
        gain = gain_of(change, facts, plan, **QUICK)
        worth = value(change.facts, found).total - value(facts, plan).total
        assert (gain.points if gain else 0) == max(0, worth)
        assert gain == gain_of(change, facts, plan, **QUICK)


def test_the_one_supervisor_who_is_lacking_is_worth_the_resets() -> None:
    wanted = tuple(job(f"r{i}", "reset", stone=f"s{i}", lifters=1) for i in range(3))
    people = tuple(person(key, levels={"reset": 2}) for key in "abc")
    facts = day(jobs=wanted, people=people)
    plan = solve(facts, limit=Limit(rounds=50, proof=0)).plan
    gains = {c.words: gain_of(c, facts, plan, **QUICK) for c in changes(facts)}
    found = gains["One more supervisor of reset"]
    assert found is not None
    assert found.sentence.startswith("One more supervisor of reset: at least 3 more stones, ")
    assert gains["One more person signed off in reset"] is None


def test_a_plan_that_the_checker_objects_to_is_worth_no_word() -> None:
    facts = day()
    plan = solve(facts, limit=Limit(rounds=50, proof=0)).plan
    twice = Plan((*plan.crews, plan.crews[0]))
    change = Change("One more hoist", replace(facts, kit={**facts.kit, "hoist": 2}))
    assert gain_of(change, facts, twice, **QUICK) is None


@pytest.mark.parametrize(
    ("gain", "sentence"),
    [
        (Gain("One more hoist", 1, 1, 9), "One more hoist: at least 1 more stone, 9 points."),
        (Gain("One more rake", 0, 2, 1), "One more rake: at least 2 more jobs, 1 point."),
        (Gain("One more rake", -1, 0, 4), "One more rake: at least 4 more points."),
    ],
)
def test_what_is_brought_is_counted_in_stones_jobs_or_points(gain: Gain, sentence: str) -> None:
    assert gain.sentence == sentence
