"""Which work nobody who comes may lead, and what a look ahead counts without it."""

from dataclasses import replace

import pytest

from tests.workdays.rules.ahead_worlds import CLEAN, RESET, job, somebody, world
from workdays.rules.ahead import look_ahead
from workdays.rules.ahead_led import led_only, unled_kinds, without_kinds
from workdays.rules.ahead_words import part_words, unled_words, without_words
from workdays.rules.facts import KindFacts

LED = {"clean": 2}


def test_work_that_nobody_may_lead_is_left_out_with_what_waits_for_it() -> None:
    facts = world(
        [
            job("r"),
            job("c", "clean"),
            job("after c", after=("c",)),
            job("after that", after=("after c",)),
            job("s", "reset", after=("r",)),
        ],
        somebody("a", 0.5),
        somebody("signed off, leads nobody", levels=LED, leads=False),
    )
    assert unled_kinds(facts) == (CLEAN, RESET)
    assert [one.job.id for one in led_only(facts).undone] == ["r"]
    led = replace(facts, people=(*facts.people, somebody("b", 0.1, levels=LED)))
    assert unled_kinds(led) == (RESET,)
    assert [one.job.id for one in led_only(led).undone] == ["r", "c", "after c", "after that"]


@pytest.mark.parametrize(("level", "missing"), [(2, (RESET,)), (3, ())])
def test_supervised_work_needs_somebody_who_supervises(
    level: int, missing: tuple[KindFacts, ...]
) -> None:
    facts = world([job("s", "reset")], somebody("a", levels={"reset": level}))
    assert unled_kinds(facts) == missing


def test_all_is_counted_where_nothing_or_too_few_stones_would_be_left() -> None:
    nothing = world([job("c", "clean")], somebody("a"))
    assert led_only(nothing) is nothing
    promised = world([job("c", "clean"), job("r")], somebody("a"), stones=2)
    assert led_only(promised) is promised
    assert len(led_only(replace(promised, stones=1)).undone) == 1


def test_the_work_that_no_try_finishes_is_known_and_the_rest_has_a_range() -> None:
    facts = world([job("r"), job("s", "clean"), job("after s", after=("s",))], somebody("a"))
    found = look_ahead(facts, tries=3)
    assert (found.range.low, found.unfinished) == (None, {"clean": 3})
    rest = look_ahead(without_kinds(facts, {"clean"}), tries=3)
    assert without_words([CLEAN], rest) == "Without gentle cleaning, 1 job takes 1 day."


def test_words_say_who_is_missing_and_what_waits() -> None:
    mending = KindFacts("mend", "mend", "Mending", needs_conservator=True)
    said = [unled_words(kind, 2, unled=True) for kind in (CLEAN, RESET, mending)]
    assert said == [
        "2 jobs of gentle cleaning: nobody comes who may lead it",
        "2 jobs of resetting: no supervisor of it comes",
        "2 jobs of mending: no conservator comes",
    ]
    assert unled_words(CLEAN, 1, unled=False) == (
        "1 job of gentle cleaning: to be done after such work"
    )
    assert (part_words(3, 3), part_words(1, 3)) == ("3 jobs", "1 of 3 jobs")
