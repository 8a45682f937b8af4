from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.numbering import free_number, typed_number


@pytest.mark.parametrize(
    ("typed", "number"),
    [
        ("A1-3", "A1-3"),
        ("  A1\t3 ", "A1 3"),
        ("A1\u00a03\n", "A1 3"),
        ("A\x001\u202e", "A1"),
        ("A" * 41, "A" * 40),
        ("\x00 \n", ""),
    ],
)
def test_a_typed_number_is_read_as_it_could_be_stored(typed: str, number: str) -> None:
    assert typed_number(typed) == number


def test_a_stone_beside_a_known_one_gets_its_number_with_a_letter() -> None:
    assert free_number({"A1-3"}, near="A1-3") == "A1-3a"
    assert free_number({"A1-3", "a1-3A"}, near="A1-3") == "A1-3b"


def test_without_a_neighbour_or_letters_left_it_is_numbered_as_found() -> None:
    assert free_number(set()) == "F1"
    assert free_number({"F1", "f2"}) == "F3"
    letters = {f"A1{letter}" for letter in "abcdefghijklmnopqrstuvwxyz"}
    assert free_number(letters, near="A1") == "F1"
    assert free_number(set(), near="x" * 40) == "F1"


@given(st.sets(st.sampled_from(["F1", "f1", "F2", "A1", "A1a", "a1B", "F10"])))
def test_the_number_is_free_in_any_letters(taken: set[str]) -> None:
    for near in ("", "A1"):
        assert free_number(taken, near=near).casefold() not in {one.casefold() for one in taken}
