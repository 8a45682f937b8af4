"""A chain in words: waits in the order of time, and a heading that answers."""

import pytest

from workdays.rules.chain_step import Times
from workdays.rules.chain_words import (
    Counts,
    added_words,
    asks_heading,
    litres_words,
    people_words,
    rest_words,
    season_words,
    stone_heading,
    time_words,
    waits_words,
    why_nothing,
)
from workdays.rules.triage import Conclusion, Kind, Need

ALONE = Conclusion(Kind.LEAVE_ALONE)
SOUND = Conclusion(Kind.NEEDS)
RESET = Conclusion(Kind.NEEDS, needs=frozenset({Need.RESET}))


@pytest.mark.parametrize(
    ("hours", "words"),
    [
        (1, "1 hour"),
        (24, "24 hours"),
        (47, "47 hours"),
        (48, "2 days"),
        (72, "3 days"),
        (73, "3 days and 1 hour"),
        (672, "28 days"),
    ],
)
def test_a_rest_is_said_in_hours_for_a_day_and_in_days_beyond(hours: int, words: str) -> None:
    assert rest_words(hours) == words


def test_waits_are_told_in_the_order_of_time() -> None:
    times = Times(after=True, wait_hours=24, season_first=501, season_last=930)
    assert waits_words(times, ["bond it", "rake"]) == (
        "After: bond it, rake; then 24 hours of rest; only 1 May to 30 September"
    )
    assert waits_words(Times(after=True, after_winter=True), ["reset it"]) == (
        "After: reset it; then a whole winter"
    )
    assert waits_words(Times(after=False), []) == ""


@pytest.mark.parametrize("ends", [(None, None), (501, None), (None, 930)])
def test_half_a_season_is_none(ends: tuple[int | None, int | None]) -> None:
    assert season_words(*ends) == ""


def test_people_and_litres_are_said_as_people_say_them() -> None:
    assert people_words(2, 4, 0) == "2 to 4 people"
    assert people_words(2, 2, 1) == "2 people, 1 of them able to lift"
    assert litres_words(1) == "1 litre"
    assert litres_words(2.5) == "2.5 litres"


@pytest.mark.parametrize(
    ("conclusion", "counts", "said"),
    [
        (RESET, Counts(new=4), "Stone C-3: 4 jobs would do what it needs"),
        (RESET, Counts(new=1), "Stone C-3: 1 job would do what it needs"),
        (RESET, Counts(new=1, to_do=2), "Stone C-3: 1 more job would do what it needs"),
        (None, Counts(new=1), "Stone C-3: 1 job would do what it needs"),
        (RESET, Counts(to_do=2, done=1), "Stone C-3: every job it needs is there"),
        (RESET, Counts(done=1), "Stone C-3: every job it needs is done"),
        (ALONE, Counts(), "Stone C-3: leave it alone, so nothing is added"),
        (ALONE, Counts(new=1), "Stone C-3: leave it alone; 1 job would only record it"),
        (SOUND, Counts(), "Stone C-3: sound, so nothing is added"),
        (None, Counts(), "Stone C-3: no chain in use says how to do what it needs"),
    ],
)
def test_the_heading_says_what_holds(
    conclusion: Conclusion | None, counts: Counts, said: str
) -> None:
    assert stone_heading("C-3", conclusion, counts) == said


@pytest.mark.parametrize(
    ("conclusion", "counts", "part"),
    [
        (RESET, Counts(to_do=1), "new look"),
        (RESET, Counts(done=1), "new look"),
        (ALONE, Counts(), "only harm this stone"),
        (SOUND, Counts(), "nothing to do"),
        (None, Counts(), "Take a chain"),
    ],
)
def test_where_nothing_is_to_be_added_a_sentence_says_why(
    conclusion: Conclusion | None, counts: Counts, part: str
) -> None:
    assert part in why_nothing(conclusion, counts)


def test_nothing_is_explained_where_something_is_to_be_added() -> None:
    assert why_nothing(RESET, Counts(new=1)) == ""


def test_a_press_is_answered_in_a_sentence() -> None:
    assert added_words(0, 1) == "Nothing was added: every job that is asked for is there."
    assert added_words(1, 1) == "1 job was added, for 1 stone."
    assert added_words(312, 140) == "312 jobs were added, for 140 stones."


@pytest.mark.parametrize(
    ("stones", "jobs", "said"),
    [
        (0, 0, "Alder Hill: every job that its stones need is there"),
        (1, 2, "Alder Hill: 1 stone asks for 2 more jobs"),
        (140, 312, "Alder Hill: 140 stones ask for 312 more jobs"),
    ],
)
def test_a_cemetery_says_how_much_is_asked_for(stones: int, jobs: int, said: str) -> None:
    assert asks_heading("Alder Hill", stones, jobs) == said


def test_person_minutes_become_hours_from_sixty_on() -> None:
    assert time_words(45) == "45 person-minutes"
    assert time_words(60) == "1 person-hour"
    assert time_words(100) == "1.7 person-hours"
