"""How many days: exact where nothing is left to chance, and as wide as chance is elsewhere."""

from dataclasses import replace
from datetime import date
from math import sqrt

import numpy as np
import pytest
from scipy.stats import binom, nbinom

from tests.workdays.rules import ahead_worlds as worlds
from tests.workdays.rules.ahead_worlds import job, somebody, weeks, world
from workdays.rules.ahead import LOST, WAITS, Range, look_ahead, within
from workdays.rules.ahead_chance import Chance
from workdays.rules.ahead_facts import AheadFacts, Lost, Undone, Usual
from workdays.rules.ahead_help import changes, mix_for, what_helps
from workdays.rules.facts import JobFacts, KindFacts, PersonFacts
from workdays.rules.readiness import Season


def jobs(count: int, kind: str = "rake", **changes: object) -> list[JobFacts | Undone]:
    return [job(f"{kind}{n}", kind, **changes) for n in range(count)]


def days_of(facts: AheadFacts, tries: int = 5) -> set[int | None]:
    return set(look_ahead(facts, tries=tries).days)


@pytest.mark.parametrize(("count", "days"), [(1, 1), (2, 1), (3, 2), (10, 5)])
def test_one_person_always_there_takes_exactly_so_many_days(count: int, days: int) -> None:
    """An hour each, two hours a day, alone (a cemetery would ask for two)."""
    assert days_of(world(jobs(count), somebody("ana"))) == {days}


def test_the_same_facts_and_seed_give_the_same_range() -> None:
    facts = world(jobs(12), somebody("ana", 0.5), somebody("ben", 0.5), pace=())
    once, again = (look_ahead(facts, tries=50, seed=3) for _ in range(2))
    assert once == again
    assert once.days != look_ahead(facts, tries=50, seed=4).days


def test_waiting_for_one_person_is_the_negative_binomial() -> None:
    """Five days on which somebody comes who comes to four in ten."""
    tries, share, needed = 800, 0.4, 5
    forecast = look_ahead(world(jobs(2 * needed), somebody("ana", share)), tries=tries)
    days = np.array(forecast.days, dtype=float)
    assert not np.isnan(days).any()
    law = nbinom(needed, share)
    for on in range(needed, 25):
        expected = law.cdf(on - needed)
        off = 4 * sqrt(expected * (1 - expected) / tries) + 1e-9
        assert abs((days <= on).mean() - expected) <= off
    found = forecast.range
    for share_of_tries, told in ((0.1, found.low), (0.5, found.middle), (0.9, found.high)):
        law_days = needed + law.ppf(share_of_tries)
        assert told is not None
        assert abs(told - law_days) <= 1


def test_who_comes_is_the_binomial() -> None:
    facts = world(jobs(1), *(somebody(f"p{n}", 0.6) for n in range(20)))
    chance = Chance(facts, seed=1)
    counts = np.concatenate([chance.of(n).present.sum(axis=1) for n in range(50)])
    for share in (0.1, 0.5, 0.9):
        assert abs(np.quantile(counts, share) - binom(20, 0.6).ppf(share)) <= 1
    assert abs(counts.mean() - 12) <= 4 * sqrt(20 * 0.6 * 0.4 / len(counts))


def test_the_truth_falls_into_the_range_eight_times_of_ten() -> None:
    """Worlds drawn anew: frequencies from their prior, eight days of history, then the truth.

    The truth is played by the test itself. Where a number of days is hit exactly its place among
    the tries is drawn, so that a range that is right holds the truth in exactly 80 % of worlds.
    """
    chance, worlds_tried, inside = np.random.default_rng(11), 120, 0
    for _ in range(worlds_tried):
        often = chance.beta(1.0, 1.0, 6)
        history = [int(chance.binomial(8, share)) for share in often]
        people = [
            Usual(PersonFacts(f"p{n}", 0, 24, leads=True), c, 8) for n, c in enumerate(history)
        ]
        facts = world(jobs(16, min_people=1, max_people=1), *people, dates=weeks(60))
        tries = np.array(
            [
                days or 999
                for days in look_ahead(facts, tries=40, seed=int(chance.integers(10**6))).days
            ]
        )
        done, truth = 0, 0
        while done < 16:
            truth += 1
            done += 2 * int((chance.random(6) < often).sum())
        place = (tries < truth).mean() + chance.random() * (tries == truth).mean()
        inside += 0.1 <= place < 0.9
    low, high = binom(worlds_tried, 0.8).ppf([0.001, 0.999])
    assert low <= inside <= high


def test_a_lost_day_counts_and_is_said() -> None:
    always = dict.fromkeys(range(1, 13), Lost(10**9, 10**9))
    forecast = look_ahead(
        world(jobs(2), somebody("ana"), lost={**worlds.NEVER_LOST, 5: always[5]}), tries=5
    )
    # The last Saturday of May 2026 is the 30th: four days are lost, the fifth does it.
    assert set(forecast.days) == {5}
    assert forecast.held_up[LOST] == 5 * 4


def test_too_few_days_are_said_as_such() -> None:
    forecast = look_ahead(world(jobs(10), somebody("ana"), dates=weeks(4)), tries=5)
    assert forecast.range == Range(None, None, None)
    assert forecast.never == 5
    assert within([3, 3, None, None], 0.5) == 3
    assert within([3, 3, None, None], 0.6) is None


def test_nothing_to_try_is_refused() -> None:
    for facts in (world([], somebody("ana")), world(jobs(1), dates=())):
        with pytest.raises(ValueError, match="no day"):
            look_ahead(facts, tries=5)


@pytest.mark.parametrize(
    ("gap", "hours", "days"), [(7, 24, 2), (1, 24, 3), (1, 22, 2), (1, 0, 1), (7, 24 * 8, 3)]
)
def test_a_step_waits_for_its_hours_of_rest(gap: int, hours: int, days: int) -> None:
    """The first step ends at the end of its first hour; the clock runs from there."""
    steps = [Undone(job("a")), Undone(job("b", after=("a",)), wait_hours=hours)]
    dates = tuple(date.fromordinal(worlds.SATURDAY.toordinal() + gap * n) for n in range(60))
    assert days_of(world(steps, somebody("ana"), dates=dates)) == {days}


def test_a_winter_and_a_season_are_waited_for() -> None:
    steps = [
        Undone(job("a")),
        Undone(job("b", after=("a",)), after_winter=True),
        Undone(job("c"), season=Season((9, 1), (9, 30))),
        Undone(job("d"), not_before=date(2026, 6, 1)),
    ]
    forecast = look_ahead(world(steps, somebody("ana")), tries=2)
    last = forecast.dates[(forecast.days[0] or 0) - 1]
    assert last == next(on for on in forecast.dates if on >= date(2027, 4, 1))
    assert forecast.held_up[WAITS] > 0


def test_work_without_leave_is_not_done() -> None:
    may = (date(2026, 5, 1), date(2026, 5, 31))
    facts = world(jobs(20), somebody("ana"), leave={"rake": (may,)})
    assert days_of(facts) == {None}
    forecast = look_ahead(facts, tries=2)
    assert forecast.stones == (8, 8)  # four Saturdays from the 9th, two stones each


def test_a_promise_of_stones_is_kept_before_all_is_done() -> None:
    facts = world(jobs(10), somebody("ana"), stones=4)
    assert days_of(facts) == {2}
    assert look_ahead(facts, tries=4).by(weeks(2)[-1]) == 4
    assert look_ahead(facts, tries=4).by(weeks(1)[-1]) == 0


def test_a_stone_is_finished_by_its_last_job() -> None:
    steps = [Undone(job("a", stone="s")), Undone(job("b", stone="s", after=("a",)))]
    assert look_ahead(world(steps, somebody("ana"), stones=1), tries=1).stones == (1,)


def test_more_help_changes_no_chance_of_the_others() -> None:
    facts = world(jobs(3), somebody("ana", 0.5), somebody("ben", 0.3), pace=())
    more = replace(facts, people=(*facts.people, somebody("cy")), blocks=(12,))
    one, other = (Chance(each, seed=5).of(7) for each in (facts, more))
    assert (one.present == other.present).all()
    assert (one.pace == other.pace).all()


def test_what_lacks_is_named_and_what_helps_is_found() -> None:
    hands = [somebody(f"p{n}", levels={"reset": 2}) for n in range(3)]
    work = jobs(6, "reset", min_people=2, max_people=3, lifters=1)
    facts = world(work, *hands, dates=weeks(8))
    base = look_ahead(facts, tries=10)
    helped = what_helps(facts, changes(facts, {}), tries=10)
    assert base.never == 10
    assert base.held_up["reset", "supervisor"] == base.all_days
    assert [one.words for one in helped] == [("one more supervisor of resetting, each time",)]
    assert helped[0].forecast.never == 0


def test_a_mix_makes_a_promise_safe_and_holds_nothing_needless() -> None:
    """Resets want a supervisor, three people and leave that does not end: each alone fails."""
    work = jobs(8, "reset", min_people=3, max_people=3, lifters=1)
    until = (date(2026, 5, 1), date(2026, 5, 10))
    facts = world(work, somebody("ana"), dates=weeks(20), leave={"reset": (until,)})
    tried, by = changes(facts, {}), weeks(6)[-1]
    mix = mix_for(facts, tried, by=by, tries=10)
    assert mix is not None
    assert mix.words == (
        "one more supervisor of resetting, each time (twice)",
        "the owner's leave for all of this work, for as long as it takes",
    )
    assert mix.forecast.by(by) == 10
    assert what_helps(facts, tried, tries=5) == []
    assert mix_for(facts, tried, by=date(2026, 1, 1), tries=10) is None
    assert mix_for(world(jobs(1), somebody("ana")), tried, by=by, tries=10) is None


def test_a_try_ends_when_leave_has_run_out_and_says_so() -> None:
    until = (date(2026, 5, 1), date(2026, 5, 10))
    facts = world(jobs(4), somebody("ana"), leave={"rake": (until,)})
    forecast = look_ahead(facts, tries=2)
    assert forecast.never == 2
    assert forecast.held_up["rake", "leave"] == 2 * 59


def test_a_minor_comes_with_the_guardian_or_not_at_all() -> None:
    minor = Usual(PersonFacts("cy", 0, 24, adult=False, guardian="dora"), always=True)
    alone = world(jobs(1, min_people=2), somebody("ana"), minor)
    assert days_of(alone) == {None}
    assert days_of(world(jobs(1, min_people=2), somebody("dora"), minor)) == {1}


def test_few_new_people_work_beside_each_who_is_signed_off() -> None:
    able = somebody("ana", levels={"clean": 2})
    new = [somebody(f"new{n}") for n in range(4)]
    work = jobs(1, "clean", minutes=360, min_people=3, max_people=6)
    assert days_of(world(work, able, *new)) == {1}
    four = jobs(1, "clean", minutes=360, min_people=4, max_people=6)
    assert days_of(world(four, able, *new)) == {None}
    assert days_of(world(four, able, somebody("ben", levels={"clean": 2}), *new)) == {1}


def test_equipment_holds_crews_up() -> None:
    work = jobs(4, min_people=1, max_people=1, kit={"barrow": 1}, minutes=120)
    two = [somebody("ana"), somebody("ben")]
    assert days_of(world(work, *two, kit={"barrow": 1})) == {4}
    assert days_of(world(work, *two, kit={"barrow": 2})) == {2}
    forecast = look_ahead(world(work, *two, dates=weeks(3)), tries=1)
    assert forecast.held_up["rake", "kit barrow"] == 3


def test_what_takes_longer_is_gone_on_with() -> None:
    """Two hours of work that fit the day by their estimate and take three times as long."""
    facts = world(jobs(1, minutes=120, max_people=1), somebody("ana"), pace=(3.0,) * 8)
    assert days_of(facts) == {3}


def test_a_kind_that_a_conservator_leads_waits_for_one() -> None:
    mend = KindFacts("mend", "mend", "Mending", needs_conservator=True)
    facts = world(jobs(1, "mend"), somebody("ana"), kinds=(mend,))
    forecast = look_ahead(facts, tries=3)
    assert forecast.never == 3
    assert forecast.held_up["mend", "conservator"] == forecast.all_days
    assert days_of(replace(facts, people=(somebody("fay", conservator=True),))) == {1}
