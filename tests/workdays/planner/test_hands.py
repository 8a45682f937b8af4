"""Moves by hand: times follow the crew's size, the checker has the last word."""

from dataclasses import replace

from tests.workdays.rules.crew_days import day, good_plan, job
from workdays.planner.hands import (
    add_job,
    move_person,
    part,
    remove_job,
    shift_job,
    swap_people,
)
from workdays.rules.crew import violations
from workdays.rules.facts import Crew, Interval, Plan, PlannedJob, Violation


def crew_of(plan: Plan | list[Violation], leader: str, block: int = 0) -> Crew:
    """A crew of a changed plan; fails where the move was refused."""
    assert isinstance(plan, Plan), plan
    return next(c for c in plan.crews if (c.leader, c.block) == (leader, block))


def rules(found: Plan | list[Violation]) -> set[str]:
    """The names of the rules that a refused move would break."""
    assert isinstance(found, list)
    return {violation.rule for violation in found}


def test_one_more_person_makes_the_jobs_shorter() -> None:
    found = move_person(day(), good_plan(), person="hal", block=0, to_leader="fay")
    assert rules(found) == {"helper's level"}
    found = move_person(day(), good_plan(), person="ivy", block=1, to_leader="dora")
    crew = crew_of(found, "dora", 1)
    assert crew.members == ("dora", "cy", "hal", "ivy")
    assert crew.jobs == (PlannedJob("k2", 14, 16),)


def test_who_leaves_a_crew_of_two_leaves_too_few() -> None:
    found = move_person(day(), good_plan(), person="gus", block=0, to_leader=None)
    assert rules(found) == {"people"}
    found = move_person(day(), good_plan(), person="hal", block=1, to_leader=None)
    assert crew_of(found, "dora", 1).jobs == (PlannedJob("k2", 14, 18),)


def test_a_leader_who_leaves_hands_the_crew_on() -> None:
    facts = day(jobs=tuple(replace(j, min_people=1) for j in day().jobs))
    plan = Plan((Crew(0, "fay", ("fay", "hal", "ivy"), (PlannedJob("k1", 0, 3),)),))
    crew = crew_of(move_person(facts, plan, person="fay", block=0, to_leader=None), "hal")
    assert crew.members == ("hal", "ivy")
    alone = Plan((Crew(0, "fay", ("fay",), (PlannedJob("k1", 0, 8),)),))
    assert move_person(facts, alone, person="fay", block=0, to_leader=None) == Plan()


def test_minors_go_along_with_their_guardian_and_never_alone() -> None:
    facts = day(jobs=tuple(replace(j, min_people=1) for j in day().jobs))
    found = move_person(facts, good_plan(), person="dora", block=1, to_leader=None)
    assert crew_of(found, "hal", 1).members == ("hal",)
    strict = replace(facts, ratios=replace(facts.ratios, minors_follow=True))
    alone = move_person(strict, good_plan(), person="cy", block=1, to_leader=None)
    assert rules(alone) == {"minors follow"}


def test_two_people_change_places_with_the_lead_if_one_leads() -> None:
    found = swap_people(day(), good_plan(), one="dora", other="ivy", block=1)
    assert rules(found) == {"guardian"}
    found = swap_people(day(), good_plan(), one="hal", other="ivy", block=1)
    assert crew_of(found, "dora", 1).members == ("dora", "cy", "ivy")
    assert rules(swap_people(day(), good_plan(), one="ivy", other="eli", block=0)) >= {"lifters"}
    assert rules(swap_people(day(), good_plan(), one="ivy", other="x", block=0)) == {"unknown"}


def test_a_job_is_done_earlier_or_later_but_not_before_what_it_waits_for() -> None:
    plan = add_job(day(), good_plan(), job="k1", block=0, to_leader="ana")
    assert isinstance(plan, Plan)
    found = shift_job(day(), plan, job="k1", by=-1)
    assert [task.job for task in crew_of(found, "ana").jobs] == ["c1", "k1", "c2"]
    assert rules(shift_job(day(), good_plan(), job="c2", by=-1)) == {"after"}
    assert rules(shift_job(day(), good_plan(), job="c2", by=1)) == {"order"}


def test_two_who_share_a_crew_are_parted_in_the_best_way_that_holds() -> None:
    facts = replace(day(), apart=(("hal", "ivy"),))
    together = move_person(day(), good_plan(), person="ivy", block=1, to_leader="dora")
    assert isinstance(together, Plan)
    found = part(facts, together, one="hal", other="ivy")
    assert len(crew_of(found, "dora", 1).members) == 3
    stuck = replace(day(), apart=(("ben", "eli"),))
    assert rules(part(stuck, good_plan(), one="ben", other="eli")) == {"apart"}


def test_a_crew_whose_supervisor_leaves_is_refused() -> None:
    facts = day(jobs=tuple(replace(j, min_people=1, lifters=0) for j in day().jobs))
    found = move_person(facts, good_plan(), person="ben", block=0, to_leader=None)
    assert {"supervisor", "leader's level"} <= rules(found)


def test_a_person_begins_a_crew_or_starts_one_with_another() -> None:
    found = move_person(day(), good_plan(), person="ivy", block=1, to_leader="ivy")
    assert crew_of(found, "ivy", 1).members == ("ivy",)
    found = move_person(day(), good_plan(), person="ivy", block=1, to_leader="eli")
    assert crew_of(found, "eli", 1).members == ("eli", "ivy")


def test_names_that_nobody_has_are_refused() -> None:
    assert rules(move_person(day(), good_plan(), person="x", block=0, to_leader=None))
    assert rules(move_person(day(), good_plan(), person="hal", block=0, to_leader="x"))
    assert rules(add_job(day(), good_plan(), job="x", block=0, to_leader="fay")) == {"unknown"}
    assert rules(add_job(day(), good_plan(), job="k1", block=1, to_leader="fay")) == {"unknown"}


def test_a_job_is_taken_out_unless_another_needs_it_first() -> None:
    assert crew_of(remove_job(day(), good_plan(), job="k1"), "dora").jobs == ()
    assert rules(remove_job(day(), good_plan(), job="c1")) == {"after"}


def test_a_job_moves_to_another_crew_and_waits_for_its_hours() -> None:
    found = add_job(day(), good_plan(), job="k1", block=0, to_leader="fay")
    assert crew_of(found, "fay").jobs == (PlannedJob("m1", 0, 4), PlannedJob("k1", 4, 8))
    assert crew_of(found, "dora").jobs == ()
    late = tuple(replace(j, windows=(Interval(6, 24),)) if j.id == "k1" else j for j in day().jobs)
    found = add_job(day(jobs=late), good_plan(), job="k1", block=0, to_leader="fay")
    assert crew_of(found, "fay").jobs[1] == PlannedJob("k1", 6, 10)
    never = tuple(replace(j, windows=()) if j.id == "k1" else j for j in day().jobs)
    kept = remove_job(day(), good_plan(), job="k1")
    assert isinstance(kept, Plan)
    assert rules(add_job(day(jobs=never), kept, job="k1", block=0, to_leader="fay")) == {"window"}


def test_a_reset_given_to_a_second_crew_gets_its_supervisor_named() -> None:
    ratios = replace(day().ratios, crews_per_supervisor=2)
    people = tuple(replace(p, levels={"reset": 2}) if p.id == "hal" else p for p in day().people)
    people = tuple(replace(p, levels={"reset": 2}) if p.id == "ivy" else p for p in people)
    facts = day(jobs=(*day().jobs, job("r2", "reset")), ratios=ratios, people=people)
    plan = Plan((*good_plan().crews[:1], Crew(0, "ivy", ("ivy", "hal"))))
    found = add_job(facts, plan, job="r2", block=0, to_leader="ivy")
    assert crew_of(found, "ivy").supervisor == "ben"
    assert isinstance(found, Plan)
    assert violations(facts, found) == []


def test_in_the_middle_of_a_day_what_has_begun_stays_and_nothing_begins_before_now() -> None:
    more = job("k3", "rake", min_people=1)
    facts = replace(day(), jobs=(*day().jobs, more), before=good_plan(), now=3)
    joined = move_person(facts, good_plan(), person="hal", block=0, to_leader="dora")
    assert crew_of(joined, "dora").jobs == (PlannedJob("k1", 1, 4),)
    added = add_job(facts, good_plan(), job="k3", block=0, to_leader="fay")
    assert crew_of(added, "fay").jobs == (PlannedJob("m1", 0, 4), PlannedJob("k3", 4, 8))
    new = move_person(facts, good_plan(), person="hal", block=0, to_leader="hal")
    assert isinstance(new, Plan)
    alone = add_job(facts, new, job="k3", block=0, to_leader="hal")
    assert crew_of(alone, "hal").jobs == (PlannedJob("k3", 3, 11),)
    assert rules(add_job(facts, new, job="k1", block=0, to_leader="hal")) >= {"begun"}
