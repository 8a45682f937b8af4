"""How many people who are new to what a clinic teaches have a place."""

import pytest

from training.rules.standing import Level
from workdays.rules.teaching import Limit, each_of, teaching, words

NEW = "people who are new to gentle cleaning"


@pytest.mark.parametrize(
    ("of_day", "beside_work", "each"), [(None, None, 12), (None, 4, 4), (3, 4, 3), (15, None, 15)]
)
def test_the_word_of_the_day_goes_before_the_settings(
    of_day: int | None, beside_work: int | None, each: int
) -> None:
    assert each_of(of_day=of_day, of_clinics=12, beside_work=beside_work) == each


def test_whoever_was_not_taught_is_new_whatever_else_they_can_do() -> None:
    levels = {
        1: {},
        2: {"cleaning": Level.NEW, "raking": Level.SUPERVISOR},
        3: {"cleaning": Level.TAUGHT},
        4: {"cleaning": Level.SIGNED_OFF},
    }
    found = teaching(Limit("cleaning", 6, 1), levels, coming=[1, 2, 3, 4])
    assert found.new == {1, 2}
    assert (found.teachers, found.places) == (1, 6)


@pytest.mark.parametrize(("expected", "teachers"), [(0, 2), (1, 2), (3, 3)])
def test_supervisors_who_come_count_beyond_those_expected(expected: int, teachers: int) -> None:
    levels = {1: {"cleaning": Level.SUPERVISOR}, 2: {"cleaning": Level.SUPERVISOR}, 3: {}}
    found = teaching(Limit("cleaning", 5, expected), levels, coming=[1, 2, 3])
    assert (found.teachers, found.places) == (teachers, 5 * teachers)


def test_a_supervisor_who_only_waits_teaches_nobody() -> None:
    levels = {1: {"cleaning": Level.SUPERVISOR}}
    assert teaching(Limit("cleaning", 5, 0), levels, coming=[]).places == 0


@pytest.mark.parametrize(
    ("taken", "said"),
    [
        (0, f"12 places of 12 left for {NEW}."),
        (11, f"1 place of 12 left for {NEW}."),
        (13, f"No place is left for {NEW}; they go on the waiting list."),
    ],
)
def test_what_is_left_is_said(taken: int, said: str) -> None:
    assert words("Gentle cleaning", places=12, taken=taken) == said


@pytest.mark.parametrize(
    ("in_all", "said"),
    [(8, ""), (10, ""), (11, f"10 places of 12 left for {NEW}."), (0, "")],
)
def test_places_for_new_people_are_said_where_they_are_fewer(in_all: int, said: str) -> None:
    assert words("Gentle cleaning", places=12, taken=2, in_all=in_all) == said
