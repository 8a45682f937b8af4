"""The parts of the search, each alone, and the search compiled and plain."""

from collections.abc import Iterator
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest

from tests.workdays.planner.plain import plain_parts
from tests.workdays.planner.random_days import random_day
from tests.workdays.rules.crew_days import day, job, people
from workdays.planner.index import Ground
from workdays.planner.search import Search, first_jobs
from workdays.planner.solve import Limit, solve
from workdays.rules.crew import value, violations
from workdays.rules.facts import Crew, DayFacts, Plan, PlannedJob

QUICK = Limit(rounds=3000, proof=0, bound=False)
KEPT = ("at", "left", "load", "party", "spread", "missed", "crews")


@pytest.fixture(scope="module")
def parts() -> Iterator[SimpleNamespace]:
    """Give the modules of the search as plain Python."""
    with plain_parts() as found:
        yield found


def begun(parts: SimpleNamespace, facts: DayFacts, seed: int = 1) -> Any:
    """Return a plain search with a plan at once."""
    search = parts.search.Search(Ground(facts), seed)
    search.construct()
    return search


def state_of(parts: SimpleNamespace, search: Any) -> object:
    """Return all that an undone step must leave as it was."""
    board = search.board
    kept = [getattr(board, name).tolist() for name in KEPT]
    parts.board.keep(search.tables, board)
    return kept, board.now[:2].tolist(), search.plan()


@pytest.mark.parametrize("move", ["rebuild", "refill", "redeal", "shift"])
@pytest.mark.parametrize("number", [1, 5])
def test_a_step_keeps_the_points_right_and_can_be_undone(
    parts: SimpleNamespace, move: str, number: int
) -> None:
    facts = random_day(number, people=9, jobs=40)
    search = begun(parts, facts)
    tables, board, nothing = search.tables, search.board, value(facts, Plan()).total
    moved = 0
    for turn in range(60):
        before = state_of(parts, search)
        parts.anneal.start_over(board)
        fine = getattr(parts.moves, move)(tables, board)
        if fine:
            after = state_of(parts, search)
            assert violations(facts, search.plan()) == []
            assert board.now[0] == value(facts, search.plan()).total - nothing
            moved += after != before
        if not fine or turn % 3:
            parts.step.undo(tables, board, 0)
            assert state_of(parts, search) == before
    assert moved > 2


def test_a_step_is_kept_if_it_gains_and_by_chance_if_it_loses(parts: SimpleNamespace) -> None:
    accepts = parts.anneal.accepts
    assert accepts(0, 1.0, 0.99)
    assert accepts(-1, 1.0, 0.36)  # exp(-1) is 0.3679
    assert not accepts(-1, 1.0, 0.37)
    assert not accepts(-100, 1.0, 0.01)


def test_chance_is_even_and_the_same_each_time(parts: SimpleNamespace) -> None:
    throws = []
    for _ in range(2):
        board = begun(parts, random_day(1, people=3, jobs=3), seed=7).board
        throws.append([parts.chance.dice(board) for _ in range(20_000)])
    assert throws[0] == throws[1]
    assert all(0 <= throw < 1 for throw in throws[0])
    tenths = [sum(int(10 * throw) == tenth for throw in throws[0]) for tenth in range(10)]
    assert all(1_850 < count < 2_150 for count in tenths)


@pytest.mark.parametrize("number", [2, 3, 4])
def test_the_search_is_the_same_compiled_and_plain(parts: SimpleNamespace, number: int) -> None:
    facts = random_day(number, people=9, jobs=16)
    plain, compiled = begun(parts, facts), Search(Ground(facts), 1)
    compiled.construct()
    assert plain.plan() == compiled.plan()
    for done in (0.0, 0.7):
        plain.improve(120, done)
        compiled.improve(120, done)
        assert plain.plan() == compiled.plan()
    assert plain.best == compiled.best


def test_a_plan_gone_on_with_is_never_lost() -> None:
    facts = random_day(11, people=9, jobs=16)
    best = solve(facts, limit=QUICK)
    again = solve(facts, seed=2, limit=replace(QUICK, rounds=0), start=best.plan)
    assert again.value.total >= best.value.total > 0


@pytest.mark.parametrize("number", range(20, 32))
def test_a_plan_made_anew_at_a_quarter_past_keeps_what_has_begun(number: int) -> None:
    facts = random_day(number, people=10, jobs=16)
    before = solve(facts, limit=QUICK).plan
    leaders = {crew.leader for crew in before.crews}
    gone = [p.id for p in facts.people if p.id not in leaders and p.adult][:1]
    left = tuple(p for p in facts.people if p.id not in gone)
    later = replace(facts, people=left, before=before, now=1, max_moved=2)
    found = solve(later, limit=QUICK, start=before)
    assert violations(later, found.plan) == list(found.clashes)
    for clash in found.clashes:  # a crew that has become too small for what it had begun
        assert clash.rule in {"begun", "most moved"}
        assert any(set(gone) & set(crew.members) for crew in before.crews)


def test_an_older_crew_goes_on_without_who_did_not_come() -> None:
    """Nor does a minor come without the guardian; the others keep their lead and their work."""
    before = Plan(
        (
            Crew(0, "ana", ("ana", "ivy", "gus"), (PlannedJob("k1", 0, 3),)),
            Crew(0, "fay", ("fay", "eli", "dora", "cy"), (PlannedJob("k2", 0, 2),)),
        )
    )
    gone = tuple(replace(p, leave=0) if p.id in ("ivy", "dora") else p for p in people())
    facts = day(people=gone, before=before, now=1)
    search = Search(Ground(facts), 1)
    search.enter(before)
    who = {crew.leader: (set(crew.members), crew.jobs) for crew in search.plan().crews}
    assert who == {
        "ana": ({"ana", "gus"}, (PlannedJob("k1", 0, 4),)),
        "fay": ({"fay", "eli"}, (PlannedJob("k2", 0, 4),)),
    }


def test_a_crew_that_cannot_do_all_any_more_does_first_what_another_rests_on() -> None:
    """Ana's reset has begun near a job of Ben; without that job she has no supervisor."""
    jobs = (
        job("k1", "rake", minutes=360),
        job("k2", "rake", section="S2", minutes=60),
        job("r1", "reset", section="S2"),
    )
    bens = (PlannedJob("k1", 0, 8), PlannedJob("k2", 8, 10))
    before = Plan(
        (
            Crew(0, "ben", ("ben", "ivy", "eli"), bens),
            Crew(0, "ana", ("ana", "fay"), (PlannedJob("r1", 0, 4),), "ben"),
        )
    )
    facts = day(jobs=jobs, before=before, now=1)
    assert first_jobs(Ground(facts), before) == {"k1": 0, "r1": 0, "k2": 1}
