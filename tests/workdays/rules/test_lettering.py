"""Letters on a piece against what a stone says."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workdays.rules.lettering import best_match, most_sure, row_of, rows_of_piece, says_little

LINES = st.text(alphabet="ABCD []./", max_size=20)


def test_a_line_is_its_letters_without_accents_blanks_and_points() -> None:
    assert row_of("Æ. 3 Né") == ("a", "e", "3", "n", "e")


def test_doubtful_and_lost_letters_are_wild() -> None:
    assert row_of("M[A]R[..]") == ("m", None, "r", None, None)


def test_brackets_that_do_not_pair_are_left_out() -> None:
    assert row_of("]M[A") == ("m", "a")


def test_a_stroke_parts_the_lines_of_a_piece() -> None:
    rows = rows_of_piece("ELOVED / / 18[3]")
    assert rows == [
        ("ELOVED", tuple("eloved")),
        ("18[3]", ("1", "8", None)),
    ]


@pytest.mark.parametrize(
    ("letters", "text", "sure"),
    [
        ("KAN", "M. KANE", 3),
        ("K[A]NE", "M. KANE", 3),
        ("KANE", "M. K[AN]E", None),  # two letters are sure: too few
        ("KANE", "M. KAN[.]", 3),
        ("RY KA", "MARY KANE", 4),
        ("Mary Kane, wife", "MARY KANE", 8),  # the piece says more than the name noted
        ("KENE", "M. KANE", None),
        ("[.....]", "M. KANE", None),
        ("KANE", "MARY…KANE", 4),
        ("RYKA", "MARY…KANE", None),  # nobody knows what stood between
        ("ZZZ / KANE", "KANE", 4),
        ("", "KANE", None),
    ],
)
def test_letters_agree_where_both_are_sure(letters: str, text: str, sure: int | None) -> None:
    match = best_match(letters, [text])
    assert (match.sure if match else None) == sure


def test_the_text_with_most_letters_is_named() -> None:
    match = best_match("KANE", ["J. KAN[.]", "M. KANE", "KANE"])
    assert match is not None
    assert (match.piece_line, match.text) == ("KANE", "M. KANE")


def test_few_letters_say_little() -> None:
    assert says_little("KA / [NES]")
    assert says_little("")
    assert not says_little("KA / NES")


@settings(deadline=None)
@given(LINES, LINES)
def test_agreement_does_not_depend_on_which_is_the_piece(one: str, other: str) -> None:
    assert most_sure(row_of(one), row_of(other)) == most_sure(row_of(other), row_of(one))


@settings(deadline=None)
@given(LINES, LINES, LINES)
def test_a_part_of_a_line_is_found_in_the_whole(before: str, part: str, after: str) -> None:
    row = row_of(part)
    whole = (*row_of(before), *row, *row_of(after))
    assert most_sure(row, whole) >= sum(letter is not None for letter in row)


@settings(deadline=None)
@given(LINES, st.lists(LINES, max_size=3))
def test_a_match_never_has_more_letters_than_either_side(letters: str, texts: list[str]) -> None:
    match = best_match(letters, texts)
    if match is not None:
        assert 3 <= match.sure <= min(len(row_of(match.piece_line)), len(row_of(match.text)))
