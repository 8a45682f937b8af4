"""The difference between two plans in words, and the names that crews keep."""

from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from workdays.rules.crew_naming import crew_names
from workdays.rules.facts import Crew, Plan, PlannedJob
from workdays.rules.plan_difference import Called, Said, as_lines, difference, own

PEOPLE = {"p1": "Ana Reyes", "p2": "Bo Hart", "p3": "Cy Lund", "p4": "Dee Oak", "p5": "Eve Penn"}
JOBS = {"j1": "Cleaning, B-3", "j2": "Resetting, B-4", "j3": "Raking, North"}
FIRST = Crew(0, "p1", ("p1", "p2"), (PlannedJob("j1", 0, 4),))
SECOND = Crew(0, "p3", ("p3", "p4"), (PlannedJob("j2", 0, 6),), "p3")
LATER = Crew(1, "p1", ("p1", "p2"), (PlannedJob("j3", 14, 18),))
ONE_LESS = replace(SECOND, members=("p3",))
AFTER_LUNCH = PlannedJob("j1", 14, 18)
BEFORE = Plan((FIRST, SECOND, LATER))
NAMED = crew_names(BEFORE)


def called(after: Plan, *gone: str, before: Plan = BEFORE) -> Called:
    named = crew_names(before)
    return Called(
        people=PEOPLE,
        jobs=JOBS,
        blocks=("morning", "afternoon"),
        crews=crew_names(after, before, named),
        crews_before=named,
        clock={slot: f"{9 + slot // 4}:{slot % 4 * 15:02d}" for slot in range(30)},
        gone=frozenset(gone),
    )


def words(after: Plan, *gone: str) -> list[str]:
    return [said.sentence for said in difference(BEFORE, after, called(after, *gone))]


@pytest.mark.parametrize(
    ("after", "gone", "sentences"),
    [
        (
            Plan((replace(FIRST, members=("p1", "p2", "p4")), ONE_LESS, LATER)),
            (),
            ["Crew 1: Dee Oak joins from Crew 2."],
        ),
        (
            Plan((replace(FIRST, members=("p1", "p2", "p5")), SECOND, LATER)),
            (),
            ["Crew 1: Eve Penn joins."],
        ),
        (
            Plan((replace(FIRST, members=("p1",), jobs=(PlannedJob("j1", 0, 8),)), SECOND, LATER)),
            (),
            [
                "Crew 1: Bo Hart is in no crew now.",
                "Crew 1 works at other times: Cleaning, B-3 9:00 to 11:00.",
            ],
        ),
        (
            Plan((FIRST, replace(SECOND, leader="p4", members=("p4",), supervisor="p1"), LATER)),
            ("p3",),
            [
                "Crew 2 has lost its lead; Dee Oak leads it now.",
                "Ana Reyes supervises Crew 2.",
                "Crew 2: Cy Lund is not there.",
            ],
        ),
        (
            Plan((FIRST, replace(SECOND, leader="p4"), LATER)),
            (),
            ["Dee Oak leads Crew 2 now, instead of Cy Lund."],
        ),
        (
            Plan((replace(FIRST, members=("p1", "p2", "p4")), LATER)),
            ("p3",),
            [
                "Crew 1: Dee Oak joins from Crew 2.",
                "Crew 2 has lost its lead and ends.",
                "Crew 2: Cy Lund is not there.",
                "Resetting, B-4 waits for another day.",
            ],
        ),
        (
            Plan((FIRST, LATER)),
            (),
            [
                "Crew 2 ends.",
                "Crew 2: Cy Lund is in no crew now.",
                "Crew 2: Dee Oak is in no crew now.",
                "Resetting, B-4 waits for another day.",
            ],
        ),
        (
            Plan((FIRST, SECOND, LATER, Crew(1, "p5", ("p5",), (PlannedJob("j9", 14, 15),)))),
            (),
            [
                "Crew 3 is new; Eve Penn leads it.",
                "Crew 3: Eve Penn joins.",
                "Crew 3 takes on j9, 12:30 to 12:45.",
            ],
        ),
        (
            Plan((replace(FIRST, jobs=(PlannedJob("j2", 0, 6),)), replace(SECOND, jobs=()), LATER)),
            (),
            [
                "Crew 1 takes on Resetting, B-4, 9:00 to 10:30, from Crew 2.",
                "Cleaning, B-3 waits for another day.",
            ],
        ),
        (
            Plan((replace(FIRST, jobs=()), SECOND, replace(LATER, jobs=(AFTER_LUNCH,)))),
            (),
            [
                "Crew 1 does Cleaning, B-3, 12:30 to 13:30, not in the morning.",
                "Raking, North waits for another day.",
            ],
        ),
    ],
)  # fmt: skip
def test_each_change_is_said_in_a_sentence(
    after: Plan, gone: tuple[str, ...], sentences: list[str]
) -> None:
    assert words(after, *gone) == sentences


def test_sentences_stand_under_the_stretch_of_the_day_that_they_are_about() -> None:
    morning, afternoon = (replace(one, members=("p1", "p2", "p5")) for one in (FIRST, LATER))
    after = Plan((morning, SECOND, afternoon))
    lines = as_lines(difference(BEFORE, after, called(after)), called(after))
    assert [(line.when, line.sentences) for line in lines] == [
        ("Morning and afternoon", ("Crew 1: Eve Penn joins.",)),
        ("", ("Nobody else moves.",)),
    ]
    jobs_only = Plan((replace(FIRST, jobs=()), SECOND, LATER))
    found = difference(BEFORE, jobs_only, called(jobs_only))
    assert as_lines(found, called(jobs_only))[-1].sentences == ("Nobody moves.",)


def test_each_reads_what_concerns_them_and_of_others_nothing() -> None:
    after = Plan(
        (
            replace(FIRST, members=("p1", "p4"), jobs=(PlannedJob("j1", 1, 5),)),
            replace(SECOND, members=("p3", "p2")),
            LATER,
        )
    )
    found = difference(BEFORE, after, called(after))
    mine = [said.sentence for said in own(found, "p4")]
    assert mine == [
        "Crew 1: Dee Oak joins from Crew 2.",
        "Crew 1 works at other times: Cleaning, B-3 9:15 to 10:15.",
    ]
    assert own(found, "p5") == []


def test_a_crew_keeps_its_name_while_its_lead_stays_and_goes_to_who_takes_it_over() -> None:
    after = Plan((replace(SECOND, leader="p4"), Crew(0, "p5", ("p5",)), LATER))
    assert crew_names(after, BEFORE, NAMED) == {
        (0, "p4"): "Crew 2",
        (0, "p5"): "Crew 3",
        (1, "p1"): "Crew 1",
    }
    assert crew_names(BEFORE) == {(0, "p1"): "Crew 1", (0, "p3"): "Crew 2", (1, "p1"): "Crew 1"}


jobs = st.lists(st.sampled_from(["j1", "j2", "j3"]), unique=True, max_size=2)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    crews, used = [], set()
    for block in (0, 1):
        people = draw(st.permutations(sorted(PEOPLE)))[: draw(st.integers(0, 5))]
        cut = draw(st.integers(0, len(people)))
        for members in (people[:cut], people[cut:]):
            if members:
                mine = [job for job in draw(jobs) if job not in used]
                used |= set(mine)
                start = draw(st.integers(0, 2))
                tasks = tuple(
                    PlannedJob(job, start + n, start + n + 1) for n, job in enumerate(mine)
                )
                supervisor = draw(st.none() | st.sampled_from(sorted(PEOPLE)))
                crews.append(Crew(block, members[0], tuple(members), tasks, supervisor))
    return Plan(tuple(crews))


def placements(plan: Plan, names: dict[tuple[int, str], str]) -> dict[tuple[str, int], str]:
    return {
        (key, crew.block): names[crew.block, crew.leader]
        for crew in plan.crews
        for key in crew.members
    }


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(plans(), plans(), st.sets(st.sampled_from(sorted(PEOPLE))))
def test_every_changed_placement_and_job_is_mentioned_once(
    before: Plan, after: Plan, gone: set[str]
) -> None:
    said = called(after, *gone, before=before)
    found: list[Said] = difference(before, after, said)
    old, new = placements(before, dict(said.crews_before)), placements(after, dict(said.crews))
    changed = {key for key in old.keys() | new.keys() if old.get(key) != new.get(key)}
    assert Counter(key for one in found for key in one.placed) == Counter(changed)
    assert all(PEOPLE[key] in one.sentence for one in found for key, _ in one.placed)
    mentioned = Counter(job for one in found for job in one.jobs)
    assert all(times == 1 for times in mentioned.values())
    kept = {task for crew in before.crews for task in crew.jobs}
    new_tasks = {task for crew in after.crews for task in crew.jobs}
    assert {task.job for task in kept ^ new_tasks} <= mentioned.keys()


@settings(suppress_health_check=[HealthCheck.too_slow])
@given(plans())
def test_a_plan_that_changes_nothing_says_nothing(plan: Plan) -> None:
    said = called(plan, before=plan)
    assert difference(plan, plan, said) == []
    assert as_lines([], said) == []
    assert said.crews == said.crews_before
