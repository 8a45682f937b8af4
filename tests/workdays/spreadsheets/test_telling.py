"""What a sheet leads to, in sentences."""

from typing import Any

import pytest

from tests.workdays.spreadsheets.made import judged, workbook
from tests.workdays.spreadsheets.test_judging import LOOK, SEVEN
from workdays.spreadsheets.telling import heading, problem_words, summary, would_change

HEAD = ["No", "Section", "Height (in)"]


def test_one_problem_of_many_rows_is_said_once_with_all_rows() -> None:
    rows: list[list[Any]] = [HEAD]
    rows += [[n, "Moon", 24 if n != 4 else "tall"] for n in range(2, 8) if n != 5]
    found = judged(workbook(rows))
    assert problem_words(found) == [
        "Rows 2 to 6, Section: there is no section “Moon” here. Mend the word, or let new sections "
        "be made.",
        "Row 4, Height (C4): “tall” is no length: write 61 cm, 24 in, 2 ft or 2 ft 3 in.",
    ]


def test_rows_apart_are_named_apart_and_the_column_stays() -> None:
    types = ["menhir", "ledger", "menhir", "menhir", "ledger", "menhir"]
    rows = [["No", "Section", "Type"], *([n, "Old", one] for n, one in enumerate(types))]
    [said] = problem_words(judged(workbook(rows)))
    assert said.startswith("Rows 2, 4 to 5, 7, Type (column C): “menhir” is a word not known here")


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([HEAD, [1, "Old", 24]], "1 row can come in, none has a problem"),
        ([HEAD, [1, "Old", 24], [2, "Old", "tall"]], "1 row has a problem; 1 could come in"),
        ([HEAD, [7, "Old", 24]], "nothing would change"),
        ([HEAD], "no row of a stone was found"),
    ],
)
def test_the_heading_says_the_one_thing_to_know(rows: list[list[Any]], words: str) -> None:
    assert heading(judged(workbook(rows), SEVEN)) == words


def test_the_summary_counts_what_is_not_nothing() -> None:
    rows = [
        [*HEAD, "Date", "Signs"],
        [1, "Up", 24, "2025-05-01", "moss"],
        [7, None, 24, None, None],
    ]
    assert summary(judged(workbook(rows), SEVEN, new_sections=True)) == [
        "1 stone is new.",
        "1 row is known as it is.",
        "1 look at a stone is new.",
        "1 section is made: Up.",
    ]


def test_what_a_row_becomes_is_said_field_by_field() -> None:
    found = judged(
        workbook([[*LOOK, "Height (cm)"], [7, "2025-06-01", "moss", None, 4, 70]]), SEVEN
    )
    assert would_change(found.verdicts[0]) == (
        "Height (cm): 61 → 70; look of 2025-06-01: growth or dirt, lean 4 degrees"
    )
    new = judged(workbook([["No", "Section", "Type", "Material"], [1, "Old", "ledger", "slate"]]))
    assert would_change(new.verdicts[0]) == "new: slate ledger in Old"
