"""Planning again in the middle of a day: what has begun stays, or is let go."""

from dataclasses import replace

import pytest

from tests.workdays.rules.crew_days import day, good_plan, people
from workdays.rules.begun import going_on
from workdays.rules.crew import violations
from workdays.rules.crew_points import value
from workdays.rules.facts import Crew, DayFacts, Plan, PlannedJob

NOW = 4


def on_the_day(*gone: str, before: Plan | None = None) -> DayFacts:
    """The small day at ten o'clock, without some people."""
    here = tuple(replace(one, leave=0) if one.id in gone else one for one in people())
    return day(people=here, before=before or good_plan(), now=NOW)


def without(*leaders: str) -> Plan:
    """The good plan without the morning's crews of some leaders, and without Dora's afternoon."""
    crews = (crew for crew in good_plan().crews if crew.leader not in leaders)
    return Plan(tuple(crew for crew in crews if "dora" not in leaders or crew.block == 0))


def rules(facts: DayFacts, plan: Plan) -> set[str]:
    return {found.rule for found in violations(facts, plan)}


def test_what_has_begun_stays_with_its_crew() -> None:
    facts = on_the_day()
    assert set(going_on(facts)) == {"r1", "c1", "k1", "m1"}
    assert rules(facts, good_plan()) == set()
    assert rules(facts, without("fay")) == {"begun"}


@pytest.mark.parametrize(
    ("gone", "let_go"),
    [("dora", {"k1"}), ("ben", {"r1"}), ("eli", {"r1"}), ("fay", {"m1"}), ("hal", set())],
)
def test_work_stops_when_the_lead_goes_or_too_few_are_left(gone: str, let_go: set[str]) -> None:
    facts = on_the_day(gone)
    assert {"r1", "c1", "k1", "m1"} - set(going_on(facts)) == let_go
    stopped = [crew.leader for crew in good_plan().crews if let_go & {t.job for t in crew.jobs}]
    assert rules(facts, without(*stopped)) <= ({"presence"} if gone == "hal" else set())
    assert value(facts, without(*stopped)).dropped <= -len(let_go) * facts.weights.dropped


def test_what_was_let_go_begins_anew_with_others_and_not_in_the_past() -> None:
    facts = on_the_day("fay")
    anew = Crew(0, "dora", ("dora", "cy"), (PlannedJob("k1", 1, 5),))
    freed = replace(facts, before=Plan((replace(anew, leader="fay", members=("fay", "gus")),)))
    assert going_on(freed) == {}
    assert rules(freed, Plan((replace(anew, jobs=(PlannedJob("k1", 4, 8),)),))) == set()
    assert rules(freed, Plan((anew,))) == {"begun"}


def test_those_who_are_left_go_on_for_longer() -> None:
    three = Crew(0, "dora", ("dora", "cy", "hal"), (PlannedJob("k1", 1, 4),))
    facts = on_the_day("hal", before=Plan((three,)))
    two = replace(three, members=("dora", "cy"), jobs=(PlannedJob("k1", 1, 5),))
    assert set(going_on(facts)) == {"k1"}
    assert rules(facts, Plan((two,))) == set()
    assert rules(facts, Plan()) == {"begun"}


def test_a_job_that_no_longer_fits_before_the_next_one_is_let_go() -> None:
    two = (PlannedJob("k1", 0, 3), PlannedJob("k2", 3, 6))
    crew = Crew(0, "ana", ("ana", "ivy", "gus"), two)
    assert set(going_on(on_the_day("gus", before=Plan((crew,))))) == {"k2"}


def test_a_minor_whose_guardian_has_gone_works_on_with_nobody() -> None:
    crew = Crew(0, "hal", ("hal", "dora", "cy", "gus"), (PlannedJob("k1", 0, 2),))
    facts = on_the_day("dora", before=Plan((crew,)))
    left = replace(crew, members=("hal", "gus"), jobs=(PlannedJob("k1", 0, 4),))
    assert set(going_on(facts)) == {"k1"}
    assert rules(facts, Plan((left,))) == set()


def test_whoever_left_before_now_does_not_count_as_moved() -> None:
    left = tuple(replace(one, leave=3) if one.id == "ivy" else one for one in people())
    facts = replace(on_the_day(), people=left, max_moved=0)
    alone = Crew(0, "ana", ("ana",))
    others = tuple(crew for crew in good_plan().crews if crew.leader != "ana")
    assert rules(facts, Plan((*others, alone))) == set()
    assert rules(replace(facts, people=people()), Plan((*others, alone))) >= {"most moved"}
