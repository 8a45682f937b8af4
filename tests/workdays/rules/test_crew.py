"""Each hard rule, broken on purpose in a good plan, is caught by its name; points by term."""

import json
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

import pytest

from tests.workdays.rules.crew_days import day, good_plan, job, jobs, people, person
from workdays.planner.dayfile import day_from_text, plan_from_text
from workdays.rules.crew import value, violations
from workdays.rules.facts import (
    Crew,
    DayFacts,
    Interval,
    JobPin,
    PersonPin,
    Plan,
    PlannedJob,
    Weights,
)

DAYS = Path(__file__).parents[3] / "fixtures" / "days"
task = PlannedJob


def crew(number: int, **changes: Any) -> Plan:
    """The good plan with fields of one crew changed."""
    crews = list(good_plan().crews)
    crews[number] = replace(crews[number], **changes)
    return Plan(tuple(crews))


def plus(*more: Crew) -> Plan:
    """The good plan with more crews."""
    return Plan((*good_plan().crews, *more))


def with_person(key: str, **changes: Any) -> DayFacts:
    """The day with one person changed."""
    return day(people=tuple(replace(p, **changes) if p.id == key else p for p in people()))


def with_job(key: str, **changes: Any) -> DayFacts:
    """The day with one job changed."""
    return day(jobs=tuple(replace(j, **changes) if j.id == key else j for j in jobs()))


def with_ratios(**changes: Any) -> DayFacts:
    """The day with other limits."""
    return day(ratios=replace(day().ratios, **changes))


def two_resets(**changes: Any) -> DayFacts:
    """A day whose supervisor has a second crew to look after: `SECOND` in the morning."""
    more = (*jobs(), job("r2", "reset", **changes))
    bea = person("bea", levels={"reset": 2})
    looser = replace(day().ratios, crews_per_supervisor=2, trainees_per_supervisor=2)
    return day(jobs=more, people=(*people(), bea), ratios=looser)


SECOND = Crew(0, "bea", ("bea", "hal"), (task("r2", 0, 4),), "ben")
EARLY = tuple(replace(p, leave=10) if p.id == "ben" else p for p in two_resets().people)
LEFT_EARLY = replace(two_resets(), people=EARLY)
ELSEWHERE = Plan((Crew(0, "ana", ("ana", "ivy"), (task("c1", 0, 4),)),))
LOST = Plan((Crew(0, "fay", ("fay", "hal"), (task("k2", 0, 4),)),))

HELD = tuple(PersonPin(key, 1, "dora") for key in ("dora", "cy", "hal"))
HELD_JOB = (JobPin("k2", 1, "dora"),)

BROKEN: list[tuple[str, DayFacts, Plan]] = [
    ("unknown", day(), crew(0, block=7)),
    ("unknown", day(), crew(0, block=-1)),
    ("unknown", day(), crew(0, members=("ben", "eli", "nobody"))),
    ("unknown", day(), crew(0, leader="nobody")),
    ("unknown", day(), crew(0, supervisor="nobody")),
    ("unknown", day(), crew(0, jobs=(task("r9", 0, 6),))),
    ("one crew", day(), crew(4, block=0, jobs=())),
    ("one crew", day(), crew(2, members=("dora", "cy", "ana"), jobs=(task("k1", 1, 4),))),
    ("one crew", day(), crew(3, members=("fay", "gus", "gus"))),
    ("presence", with_person("hal", leave=14), good_plan()),
    ("presence", with_person("eli", arrive=1), good_plan()),
    ("presence", with_person("gus", leave=3), good_plan()),
    ("waiver", with_person("ivy", waiver=False), good_plan()),
    ("leader", with_person("ana", leads=False), good_plan()),
    ("leader", with_person("ana", adult=False, guardian="ivy"), good_plan()),
    ("leader", day(), crew(3, members=("gus", "ivy"))),
    ("language", with_person("ivy", langs=("es",)), good_plan()),
    ("guardian", with_person("cy", guardian=None), good_plan()),
    ("guardian", with_person("cy", guardian="gone"), good_plan()),
    ("guardian", with_person("cy", guardian="ivy"), good_plan()),
    (
        "minors follow",
        with_ratios(minors_follow=True),
        crew(4, members=("dora", "hal"), jobs=(task("k2", 14, 18),)),
    ),
    ("adults only", with_person("eli", adult=False, guardian="ben"), good_plan()),
    ("light work", with_person("eli", light=True), good_plan()),
    ("limits", with_person("gus", barred=("mend",)), good_plan()),
    ("apart", day(apart=(("ivy", "ana"),)), good_plan()),
    ("crew size", with_ratios(max_crew=2), good_plan()),
    ("crew size", with_ratios(min_crew=3), good_plan()),
    ("pin", day(pins=(PersonPin("hal", 1, "fay"),)), good_plan()),
    ("pin", day(pins=(PersonPin("hal", 1, None),)), good_plan()),
    ("pin", day(job_pins=(JobPin("k1", 1, "dora"),)), good_plan()),
    ("locked", day(locked=((1, "dora"),), pins=HELD[:2], job_pins=HELD_JOB), good_plan()),
    ("locked", day(locked=((1, "dora"),), pins=HELD), good_plan()),
    ("leader's level", with_person("ana", levels={"clean": 1}), good_plan()),
    ("leader's level", with_person("ben", levels={"reset": 1}), good_plan()),
    ("conservator", with_person("fay", conservator=False), good_plan()),
    ("helper's level", with_person("gus", levels={}), good_plan()),
    (
        "new people",
        day(),
        crew(1, members=("ana", "ivy", "hal", "gus"), jobs=(task("c1", 0, 2), task("c2", 2, 4))),
    ),
    ("supervisor", day(), crew(0, supervisor=None)),
    ("supervisor", day(), crew(1, supervisor="ben")),
    ("supervisor", with_person("ben", levels={"reset": 2}), good_plan()),
    ("supervisor", two_resets(), Plan((replace(SECOND, supervisor="ben"),))),
    ("supervisor", two_resets(section="S2"), plus(SECOND)),
    ("supervisor", LEFT_EARLY, plus(replace(SECOND, jobs=(task("r2", 8, 12),)))),
    ("crews per supervisor", replace(two_resets(), ratios=day().ratios), plus(SECOND)),
    ("trainees per supervisor", with_ratios(trainees_per_supervisor=0), good_plan()),
    ("trainees per supervisor", replace(two_resets(), ratios=day().ratios), plus(SECOND)),
    ("people", with_job("k1", min_people=3), good_plan()),
    ("people", with_job("k2", max_people=2), good_plan()),
    ("lifters", with_person("eli", lift=False), good_plan()),
    ("blocked", with_job("c1", blocked="The stone is left alone."), good_plan()),
    ("block", day(), crew(4, jobs=(task("k2", 13, 16),))),
    ("block", day(), crew(4, jobs=(task("k2", 22, 25),))),
    ("window", with_job("c1", windows=(Interval(0, 2), Interval(2, 24))), good_plan()),
    ("window", with_job("c1", windows=()), good_plan()),
    ("length", day(), crew(3, jobs=(task("m1", 0, 3),))),
    ("overlap", day(), crew(1, jobs=(task("c1", 0, 4), task("c2", 3, 7)))),
    ("once", day(), crew(3, jobs=(task("m1", 0, 4), task("m1", 4, 8)))),
    ("equipment", day(kit={"sprayer": 1}), good_plan()),
    ("equipment", with_job("k1", kit={"sprayer": 1}), good_plan()),
    ("after", day(), crew(1, jobs=(task("c1", 4, 8), task("c2", 0, 4)))),
    ("after", day(), crew(1, jobs=(task("c2", 0, 4),))),
    ("after", with_job("k1", after=("c1",)), good_plan()),
    ("after", with_job("k1", after=("k2",)), good_plan()),
    ("after", with_job("k1", after=("gone",)), good_plan()),
    ("after", with_job("k1", after=("k1",), minutes=0), crew(2, jobs=(task("k1", 1, 1),))),
    ("begun", day(before=good_plan(), now=4), crew(3, jobs=())),
    ("begun", day(before=crew(2, jobs=()), now=4), good_plan()),
    ("most moved", day(before=LOST, max_moved=0), ELSEWHERE),
]


@pytest.mark.parametrize(("rule", "facts", "plan"), BROKEN)
def test_a_rule_broken_on_purpose_is_caught_by_name(rule: str, facts: DayFacts, plan: Plan) -> None:
    found = violations(facts, plan)
    assert rule in {violation.rule for violation in found}
    assert all(v.sentence.endswith(".") and v.about for v in found)


HOLDS: list[tuple[DayFacts, Plan]] = [
    (day(), Plan()),
    (day(), good_plan()),
    (day(pins=(PersonPin("hal", 0, None), PersonPin("hal", 1, "dora"))), good_plan()),
    (day(job_pins=(JobPin("k1", 0, "dora"),)), good_plan()),
    (day(locked=((1, "dora"), (1, "ana")), pins=HELD, job_pins=HELD_JOB), good_plan()),
    (with_ratios(minors_follow=True), good_plan()),
    (two_resets(), plus(SECOND)),
    (with_job("c1", windows=(Interval(8, 9), Interval(0, 4))), good_plan()),
    (with_job("k2", after=("k1",)), good_plan()),
    (day(before=good_plan(), now=4, max_moved=0), good_plan()),
    (day(before=good_plan()), Plan()),
    (with_person("cy", arrive=24, leave=24), Plan()),
]


@pytest.mark.parametrize(("facts", "plan"), HOLDS)
def test_a_plan_within_the_rules_breaks_none(facts: DayFacts, plan: Plan) -> None:
    assert violations(facts, plan) == []


def test_people_whose_leader_is_gone_do_not_count_as_moved() -> None:
    facts = replace(with_person("fay", leave=0), before=LOST, max_moved=0)
    assert violations(facts, Plan()) == []


@pytest.mark.parametrize("name", ["8x20s1", "8x20s2"])
def test_published_plans_have_their_published_value_term_by_term(name: str) -> None:
    """The reading of rules and points agrees with the statement's own best plans."""
    facts = day_from_text((DAYS / f"{name}.json").read_text())
    published = (DAYS / f"{name}.best-plan.json").read_text()
    plan = plan_from_text(published)
    assert violations(facts, plan) == []
    found = value(facts, plan)
    ours = ("together", "fairness", "walk")  # aims that the example days do not have
    terms = {key: points for key, points in asdict(found).items() if key not in ours}
    assert {**terms, "total": found.total} == json.loads(published)["value"]


def test_an_empty_plan_costs_every_idle_quarter_hour() -> None:
    assert value(day(), Plan()).total == -9 * 22
    assert value(with_person("ivy", waiver=False), Plan()).total == -8 * 22


def test_points_are_given_and_taken_away_term_by_term() -> None:
    parties = with_person("ana", party="a").people
    facts = replace(
        day(),
        people=tuple(replace(p, party="a") if p.id in ("ben", "gus") else p for p in parties),
        together=(("fay", "gus"), ("fay", "ivy")),
        weights=Weights(together=7),
        before=Plan((*LOST.crews, Crew(9, "fay", ("fay", "ana")), Crew(0, "ben", ("gone",)))),
    )
    plan = Plan((*crew(3, leader="fay", members=("fay", "gus", "cy")).crews[:4],))
    found = value(facts, plan)
    assert found.priority == 50
    assert found.training == 15
    assert found.split == -8 * 2
    assert found.together == 7
    assert found.moved == -6
    assert found.dropped == -5


def test_sections_beyond_the_first_and_changes_of_leader_cost_points() -> None:
    both = (task("k1", 0, 4), task("k2", 4, 8))
    plan = Plan(
        (
            Crew(0, "ana", ("ana", "ivy"), both),
            Crew(1, "ana", ("ana", "ivy")),
            Crew(1, "ben", ("ben",)),
        )
    )
    found = value(day(), plan)
    assert (found.section, found.change) == (-4, 0)
    plan = Plan((Crew(0, "ana", ("ana", "ivy")), Crew(1, "ben", ("ben", "ana", "ivy"))))
    assert value(day(), plan).change == -10


def test_plain_work_again_costs_points_once_a_person_and_stretch() -> None:
    facts = with_person("cy", enough=("rake", "clean"))
    facts = replace(facts, weights=Weights(fairness=3))
    assert value(facts, good_plan()).fairness == -3 * 2  # raking before noon and after it
    assert value(facts, good_plan()).total == value(with_person("cy"), good_plan()).total - 6


def test_a_walk_costs_points_for_each_ten_metres_from_stone_to_stone() -> None:
    """A triangle of 30, 40 and 50 metres: known by Pythagoras, whatever else is computed."""
    places = {"k1": (0.0, 0.0), "k2": (30.0, 40.0), "c1": (30.0, 0.0)}
    moved = tuple(
        replace(j, x=places[j.id][0], y=places[j.id][1]) if j.id in places else j for j in jobs()
    )
    facts = day(jobs=moved, weights=Weights(walk=2))
    around = Crew(0, "ana", ("ana", "ivy"), (task("k1", 0, 4), task("c1", 4, 8), task("k2", 8, 12)))
    across = replace(around, jobs=(task("k2", 4, 8), task("c1", 8, 12), task("k1", 0, 4)))
    assert value(facts, Plan((around,))).walk == -2 * (3 + 4)
    assert value(facts, Plan((across,))).walk == -2 * (5 + 4)
    near = replace(facts, jobs=tuple(replace(j, x=9.9 * (j.id == "k1")) for j in jobs()))
    assert value(near, Plan((around,))).walk == 0
