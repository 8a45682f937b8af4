"""What hands hold: pins that stay, pins of one's own that give way, locks, pairs kept apart."""

from dataclasses import replace

import pytest

from tests.workdays.rules.crew_days import day, good_plan
from workdays.planner import turns
from workdays.planner.held import Held
from workdays.planner.solve import Limit, solve
from workdays.planner.turns import Board, Turn, Turned
from workdays.rules.crew import violations
from workdays.rules.facts import JobPin, PersonPin, Violation


def board(**held: frozenset[object]) -> Board:
    return Board(day(), good_plan(), Held(**held))  # type: ignore[arg-type]  # by name


def done(found: Turned) -> Board:
    assert isinstance(found, Board), found
    return found


def said(found: Turned) -> list[str]:
    assert isinstance(found, list)
    return [violation.sentence for violation in found]


def test_who_is_moved_is_pinned_there_and_may_be_moved_again() -> None:
    once = done(turns.move_person(board(), person="ivy", block=1, to_leader="dora"))
    assert once.held.people == {PersonPin("ivy", 1, "dora")}
    away = done(turns.move_person(once, person="ivy", block=1, to_leader=None))
    assert away.held.people == {PersonPin("ivy", 1, None)}
    free = done(turns.unpin_person(away, person="ivy", block=1))
    assert free.held == Held()


def test_a_guardian_and_the_minors_are_moved_and_pinned_together() -> None:
    facts = day(jobs=tuple(replace(j, min_people=1) for j in day().jobs))
    start = replace(board(), facts=facts)
    away = done(turns.move_person(start, person="dora", block=1, to_leader=None))
    assert away.held.people == {PersonPin("dora", 1, None), PersonPin("cy", 1, None)}


def test_the_pin_of_somebody_else_is_not_broken_by_a_move() -> None:
    pinned = done(turns.pin_person(board(), person="gus", block=0))
    assert "Gus is pinned: in the crew of Fay in the morning." in said(
        turns.swap_people(pinned, one="fay", other="ivy", block=0)
    )


def test_a_locked_crew_keeps_its_people_and_jobs_until_it_is_unlocked() -> None:
    locked = done(turns.lock_crew(board(), block=1, leader="dora"))
    assert {pin.person for pin in locked.judged_by.pins} == {"dora", "cy", "hal"}
    assert locked.judged_by.job_pins == (JobPin("k2", 1, "dora"),)
    out = turns.move_person(locked, person="hal", block=1, to_leader=None)
    assert said(out) == ["Hal is pinned: in the crew of Dora in the afternoon."]
    assert said(turns.take_job_out(locked, job="k2"))
    into = turns.move_person(locked, person="ana", block=1, to_leader="dora")
    assert said(into) == ["The crew of Dora is locked in the afternoon: Ana cannot join."]
    more = done(turns.take_job_out(locked, job="k1"))
    found = solve(more.judged_by, limit=Limit(rounds=2000, proof=0))
    assert [set(c.members) for c in found.plan.crews if (c.block, c.leader) == (1, "dora")] == [
        {"dora", "cy", "hal"}
    ]
    assert "k1" not in {task.job for crew in found.plan.crews for task in crew.jobs}
    free = done(turns.unlock_crew(locked, block=1, leader="dora"))
    assert done(turns.move_person(free, person="hal", block=1, to_leader=None))


def test_a_job_is_moved_pinned_and_let_go() -> None:
    moved = done(turns.move_job(board(), job="k1", block=0, to_leader="fay"))
    assert moved.held.jobs == {JobPin("k1", 0, "fay")}
    assert done(turns.shift_job(moved, job="k1", by=-1)).held == moved.held
    assert done(turns.unpin_job(moved, job="k1")).held == Held()
    out = done(turns.take_job_out(moved, job="k1"))
    assert out.held == Held(off=frozenset({"k1"}))
    assert done(turns.move_job(out, job="k1", block=0, to_leader="fay")).held == moved.held
    assert done(turns.unpin_job(out, job="k1")).held == Held()
    assert done(turns.pin_job(done(turns.unpin_job(out, job="k1")), job="k1")).held == out.held


def test_two_are_kept_apart_parted_and_let_together_again() -> None:
    apart = done(turns.keep_apart(board(), one="ivy", other="hal"))
    assert apart.judged_by.apart == (("hal", "ivy"),)
    refused = turns.move_person(apart, person="ivy", block=1, to_leader="dora")
    assert said(refused) == ["Hal and Ivy are to be kept apart."]
    free = done(turns.let_together(apart, one="hal", other="ivy"))
    assert done(turns.move_person(free, person="ivy", block=1, to_leader="dora"))
    parted = done(turns.keep_apart(board(), one="dora", other="hal"))
    assert violations(parted.judged_by, parted.plan) == []


@pytest.mark.parametrize(
    ("turn", "rule"),
    [
        (lambda b: turns.pin_person(b, person="x", block=0), "unknown"),
        (lambda b: turns.move_person(b, person="ivy", block=9, to_leader=None), "unknown"),
        (lambda b: turns.lock_crew(b, block=1, leader="ben"), "unknown"),
        (lambda b: turns.pin_job(b, job="gone"), "unknown"),
        (lambda b: turns.keep_apart(b, one="hal", other="hal"), "apart"),
        (lambda b: turns.keep_apart(b, one="dora", other="cy"), "guardian"),
    ],
)
def test_what_cannot_be_is_refused_by_name(turn: Turn, rule: str) -> None:
    found = turn(board())
    assert isinstance(found, list)
    assert [violation.rule for violation in found] == [rule]
    assert all(isinstance(one, Violation) and len(one.sentence) > 20 for one in found)


def test_the_rest_is_planned_around_all_that_is_held() -> None:
    held = done(turns.move_person(board(), person="ivy", block=1, to_leader="dora"))
    held = done(turns.lock_crew(held, block=0, leader="fay"))
    held = done(turns.pin_job(held, job="k2"))
    held = done(turns.keep_apart(held, one="ana", other="eli"))
    facts = held.judged_by
    found = solve(facts, limit=Limit(rounds=300, proof=0))
    assert found.clashes == ()
    assert violations(facts, found.plan) == []
    crews = {(crew.block, crew.leader): crew for crew in found.plan.crews}
    assert "ivy" in crews[1, "dora"].members
    assert {"fay", "gus"} <= {*crews[0, "fay"].members}
    assert any(task.job == "m1" for task in crews[0, "fay"].jobs)


def test_who_does_not_come_any_more_holds_nothing() -> None:
    gone = day(people=tuple(one for one in day().people if one.id != "hal"))
    held = Held(
        people=frozenset({PersonPin("hal", 1, "dora"), PersonPin("ivy", 1, "hal")}),
        jobs=frozenset({JobPin("k9", 1, "dora"), JobPin("k2", 1, "hal")}),
        apart=frozenset({("hal", "ivy")}),
    )
    facts = Board(gone, good_plan(), held).judged_by
    assert (facts.pins, facts.job_pins, facts.apart) == ((), (), ())
