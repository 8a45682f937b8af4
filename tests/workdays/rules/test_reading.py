"""What is read on a stone: marks of doubt, facts, what cannot be kept."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.reading import (
    FactRead,
    Letters,
    Run,
    is_certain,
    plain,
    refusals_to_keep,
    runs,
    year_in,
)

TODAY = date(2026, 5, 6)


def codes(lines: list[str], *facts: FactRead, on: date = TODAY) -> list[str]:
    return [refusal.code for refusal in refusals_to_keep(on, lines, facts, today=TODAY)]


def test_brackets_mark_doubtful_letters_and_dots_in_them_lost_ones() -> None:
    assert runs("MAR[Y] wife of [...]") == (
        Run("MAR", Letters.SURE),
        Run("Y", Letters.DOUBTFUL),
        Run(" wife of ", Letters.SURE),
        Run("...", Letters.LOST),
    )


def test_empty_brackets_say_nothing() -> None:
    assert runs("A[]B") == (Run("A", Letters.SURE), Run("B", Letters.SURE))


@pytest.mark.parametrize("line", ["MAR[Y", "MARY]", "[A[B]]", "]["])
def test_brackets_that_do_not_pair_are_refused_with_the_line(line: str) -> None:
    with pytest.raises(ValueError, match="pair"):
        runs(line)
    (refusal,) = refusals_to_keep(TODAY, ["IN MEMORY", line], [], today=TODAY)
    assert refusal.sentence.startswith("Line 2:")


@given(st.text(alphabet="AB [].", max_size=30))
def test_a_line_is_either_refused_or_read_whole(line: str) -> None:
    try:
        found = runs(line)
    except ValueError:
        assert codes([line + "x"]) == ["brackets"]
        return
    letters = [c for c in line if c.isalpha()]
    assert [c for run in found for c in run.text if c.isalpha()] == letters
    assert not set("[]") & set(plain(line))


def test_a_line_reads_as_people_say_it() -> None:
    assert plain(" MAR[Y]  AM[.]S ") == "MARY AM…S"
    assert is_certain("MARY")
    assert not is_certain("MAR[Y]")


@pytest.mark.parametrize(
    ("words", "year"),
    [
        ("Died 4 Mar 1871", 1871),
        ("1798-1871", 1871),
        ("18[7]1", None),
        ("187[.]", None),
        ("aged 71", None),
        ("18711", None),
        ("2999", None),
    ],
)
def test_a_year_counts_only_when_every_figure_was_read(words: str, year: int | None) -> None:
    assert year_in(words) == year


def test_a_reading_says_something_and_its_day_is_not_to_come() -> None:
    assert codes([]) == ["nothing"]
    assert codes(["  "]) == ["nothing"]
    assert codes([], FactRead("name", "Ann Bell")) == []
    assert codes(["A"], on=date(2026, 5, 7)) == ["future"]
    assert codes(["A"], on=date(1979, 12, 31)) == ["too-old"]
    assert codes(["A"] * 81) == ["too-many-lines"]
    assert codes(["A" * 201]) == ["brackets"]


def test_a_fact_has_words_and_what_was_told_has_a_teller() -> None:
    facts = [
        FactRead("name", " "),
        FactRead("name", "A[B"),
        FactRead("born", "1801", "likely", "register"),
        FactRead("died", "1871", "sure", "told", "a great-niece"),
        FactRead("name", "MAR[Y]", "sure"),
        FactRead("name", "MAR[Y]", "likely"),
    ]
    assert codes(["A"], *facts) == ["fact-0", "fact-1", "fact-2", "fact-4"]
