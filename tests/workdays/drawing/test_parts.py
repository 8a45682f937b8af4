"""A section in parts: every stone once, no part too long, names that say where one is."""

from hypothesis import given, settings
from hypothesis import strategies as st

from workdays.drawing.ground_facts import StoneFacts
from workdays.drawing.parts import natural, parts_of


def stones(*rows: int | None) -> list[StoneFacts]:
    return [
        StoneFacts(f"S{n}", "tablet", "sound", row=row, position=n) for n, row in enumerate(rows, 1)
    ]


def names(*rows: int | None, most: int) -> list[str]:
    return [part.name for part in parts_of(stones(*rows), most=most)]


def test_parts_are_cut_between_rows() -> None:
    assert names(1, 1, 2, 2, 3, 3, 4, most=4) == ["rows 1 to 2", "rows 3 to 4"]
    assert names(1, 1, 1, 2, 2, most=4) == ["row 1", "row 2"]


def test_a_row_that_is_too_long_is_cut_and_says_which_stones() -> None:
    assert names(5, 5, 5, 5, 5, most=3) == ["row 5, S1 to S3", "row 5, S4 to S5"]


def test_stones_of_no_known_row_come_last_by_number() -> None:
    assert names(None, 1, None, 1, most=3) == ["row 1", "no row noted, S1 to S3"]


def test_numbers_are_sorted_as_people_read_them() -> None:
    assert sorted(["A10", "A2", "B1", "10", "2", "", "A2b"], key=natural) == [
        "",
        "2",
        "10",
        "A2",
        "A2b",
        "A10",
        "B1",
    ]


def test_no_stones_have_no_parts() -> None:
    assert parts_of([], most=5) == ()


@settings(max_examples=80, deadline=None)
@given(st.lists(st.none() | st.integers(1, 6), max_size=60), st.integers(1, 12))
def test_every_stone_is_in_one_part_and_no_part_is_too_long(
    rows: list[int | None], most: int
) -> None:
    parts = parts_of(stones(*rows), most=most)
    found = [stone.number for part in parts for stone in part.stones]
    assert sorted(found) == sorted(stone.number for stone in stones(*rows))
    assert all(0 < len(part.stones) <= most for part in parts)
    assert len({part.name for part in parts}) == len(parts)
