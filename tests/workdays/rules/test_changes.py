from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.changes import What, applied, diff, parts_of, people_changed
from workdays.rules.facts import Crew, Plan, PlannedJob

CLEAN = PlannedJob("j1", 0, 4)
RESET = PlannedJob("j2", 4, 8)
MORNING = Crew(0, "ana", ("ana", "tom"), (CLEAN, RESET), "ben")
OTHER = Crew(0, "ben", ("ben", "eve"), (PlannedJob("j3", 0, 4),))
PLAN = Plan((MORNING, OTHER))


def with_morning(**changes: object) -> Plan:
    return Plan((replace(MORNING, **changes), OTHER))  # type: ignore[arg-type]


def test_the_same_plan_in_another_order_changes_nothing_for_anybody() -> None:
    shuffled = Plan((OTHER, replace(MORNING, members=("tom", "ana"), jobs=(RESET, CLEAN))))
    assert diff(PLAN, shuffled) == ()
    assert people_changed(PLAN, shuffled) == frozenset()


@pytest.mark.parametrize(
    ("after", "what"),
    [
        (with_morning(leader="tom"), {What.LEAD}),
        (with_morning(supervisor=None), {What.SUPERVISOR}),
        (with_morning(jobs=(CLEAN,)), {What.WORK}),
        (with_morning(jobs=(CLEAN, replace(RESET, end=9))), {What.TIMES}),
        (
            with_morning(jobs=(replace(CLEAN, start=1), PlannedJob("j9", 5, 8)), leader="tom"),
            {What.LEAD, What.WORK, What.TIMES},
        ),
    ],
)
def test_lead_work_and_times_are_told_apart(after: Plan, what: set[What]) -> None:
    changes = diff(PLAN, after)
    assert [change.person for change in changes] == ["ana", "tom"]
    assert {change.what for change in changes} == {frozenset(what)}
    assert people_changed(PLAN, after) == {"ana", "tom"}


def test_coming_in_and_falling_out_of_a_crew_are_changes_of_that_person_only() -> None:
    after = with_morning(members=("ana", "liz"))
    assert {change.person: change.what for change in diff(PLAN, after)} == {
        "liz": {What.PLACED},
        "tom": {What.LEFT_OUT},
    }


def test_another_crew_with_the_same_lead_in_another_block_is_a_new_part() -> None:
    afternoon = replace(MORNING, block=1)
    changes = diff(PLAN, Plan((MORNING, OTHER, afternoon)))
    assert [(change.person, change.block) for change in changes] == [("ana", 1), ("tom", 1)]


names = st.sampled_from(["ana", "ben", "eve", "liz", "tom"])
jobs = st.lists(
    st.builds(PlannedJob, st.sampled_from(["j1", "j2", "j3"]), st.integers(0, 3), st.just(8)),
    max_size=2,
).map(tuple)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    crews = []
    for block in (0, 1):
        people = draw(st.lists(names, unique=True))
        cut = draw(st.integers(0, len(people)))
        for members in (people[:cut], people[cut:]):
            if members:
                supervisor = draw(st.none() | names)
                crews.append(Crew(block, members[0], tuple(members), draw(jobs), supervisor))
    return Plan(tuple(crews))


@given(plans(), plans())
def test_a_diff_applied_gives_the_new_plan(before: Plan, after: Plan) -> None:
    changes = diff(before, after)
    assert applied(parts_of(before), changes) == parts_of(after)
    assert all(change.before != change.after for change in changes)


@given(plans())
def test_a_plan_does_not_differ_from_itself(plan: Plan) -> None:
    assert diff(plan, plan) == ()
