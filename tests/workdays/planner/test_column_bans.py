"""What branches rule out: no crew is lost by a split, and each half of a thing is."""

from tests.workdays.rules.crew_days import day
from workdays.planner.column_bans import Bans, halves, split
from workdays.planner.column_prices import BANNED, Prices
from workdays.planner.column_sorts import CrewColumn
from workdays.planner.index import Ground

GROUND = Ground(day())
BEN, ANA, DORA = (GROUND.number[key] for key in ("ben", "ana", "dora"))


def crew(b: int, leader: int, *people: int, jobs: tuple[int, ...] = (0,)) -> CrewColumn:
    return CrewColumn(b, leader, sum(1 << p for p in (leader, *people)), jobs)


def out(bans: Bans, column: CrewColumn) -> bool:
    return bans.ruled_out([column]) == {column}


def test_what_a_mixture_does_in_parts_is_found_and_what_it_does_wholly_is_not() -> None:
    mixture = {
        crew(0, BEN, ANA): 0.5,
        crew(0, BEN, DORA): 0.5,
        crew(1, ANA, jobs=(1,)): 0.25,
        crew(1, DORA, jobs=(2,)): 0.75,
    }
    found = halves(mixture)
    assert found[:2] == [("with", (0, BEN, ANA)), ("with", (0, BEN, DORA))]
    assert ("in", (1, 1)) in found
    assert ("by", (1, DORA, 2)) in found
    assert ("with", (0, BEN, BEN)) not in found
    assert ("by", (0, BEN, 0)) not in found
    assert halves({crew(0, BEN, ANA): 1.0}) == []


def test_each_crew_that_has_a_thing_is_in_one_branch_and_each_that_has_not_in_the_other() -> None:
    things = [("with", (0, BEN, ANA)), ("in", (0, 0)), ("by", (0, BEN, 0))]
    for thing in things:
        without, only = split(GROUND, Bans(), thing)
        assert out(without, crew(0, BEN, ANA))
        assert not out(only, crew(0, BEN, ANA))
        assert not out(without, crew(1, DORA, jobs=(1,)))
        assert not out(only, crew(1, DORA, jobs=(1,)))


def test_a_branch_keeps_a_person_and_a_job_from_everybody_else() -> None:
    _, with_ben = split(GROUND, Bans(), ("with", (0, BEN, ANA)))
    assert out(with_ben, crew(0, DORA, ANA))
    assert out(with_ben, crew(0, ANA))
    assert not out(with_ben, crew(1, DORA, ANA))
    _, by_ben = split(GROUND, with_ben, ("by", (0, BEN, 0)))
    assert out(by_ben, crew(0, DORA))
    assert out(by_ben, crew(1, BEN))
    _, early = split(GROUND, Bans(), ("in", (0, 0)))
    assert out(early, crew(1, BEN))
    assert not out(early, crew(0, DORA))


def test_what_is_banned_is_too_dear() -> None:
    prices = Prices(GROUND)
    Bans(frozenset({(0, BEN, ANA)}), frozenset({(1, BEN, 2)})).charge(prices)
    assert prices.member[0, BEN, ANA] == BANNED
    assert prices.member[0, DORA, ANA] == 0
    assert prices.banned == {(1, BEN): [2]}
