"""Columns in any order, units, days and words as people write them, and every bad cell told."""

from datetime import date, datetime, time
from typing import Any

import pytest
from openpyxl import Workbook
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900

from tests.workdays.spreadsheets.made import judged, saved, sentences, without_value, workbook
from workdays.spreadsheets import mapping as mappings
from workdays.spreadsheets.guessing import cautions, guess
from workdays.spreadsheets.judging import Outcome, StoneNow
from workdays.spreadsheets.mapping import NotAMappingError, onto
from workdays.spreadsheets.reading import read


def midnight(year: int, month: int, day: int) -> datetime:
    """Return a day as a workbook holds it: without a zone."""
    return datetime.combine(date(year, month, day), time.min)


SEVEN = StoneNow(
    1,
    {"number": "7", "section": "Old", "type": "tablet", "material": "marble", "height_cm": 61},
    ({"on": date(2025, 5, 1), "signs": ["growth"], "sound": "solid", "lean_degrees": 2},),
)


def fields(rows: list[list[Any]]) -> list[str]:
    return [column.field for column in guess(read(workbook(rows))).columns]


def test_columns_are_known_by_their_headings_in_any_order() -> None:
    head = [
        "Remarks",
        "Ht (in)",
        "STONE NO.",
        "Stone type",
        "Yr",
        "GPS lat",
        "Long",
        "Date",
        "Lean",
    ]
    assert fields([head, [1] * len(head)]) == [
        "notes", "height_cm", "number", "type", "year_on_stone", "latitude", "longitude", "on",
        "lean_degrees",
    ]  # fmt: skip


def test_a_heading_of_two_lines_under_a_title_is_found() -> None:
    rows = [
        ["Survey of the hill, spring"],
        [],
        ["Stone", None, "Size (in)", None, None, "Other"],
        ["No", "Sect", "H", "W", "T", "Notes"],
        [7, "Old", 24, 18, 3, "x"],
    ]
    found = guess(read(workbook(rows)))
    assert (found.header_row, found.header_lines) == (4, 2)
    assert [(one.field, one.reads_as) for one in found.columns] == [
        ("number", ""), ("section", ""), ("height_cm", "in"), ("width_cm", "in"),
        ("thickness_cm", "in"), ("notes", ""),
    ]  # fmt: skip


def test_both_lines_of_a_heading_count_where_the_lower_says_too_little() -> None:
    rows = [["Stone", "Kind of", "What is", "Last"], ["No", "marker", "wrong", "seen"], [7, "x"]]
    found = guess(read(workbook(rows)))
    assert [one.field for one in found.columns] == ["number", "type", "signs", "on"]


@pytest.mark.parametrize(
    ("heading", "values", "unit"),
    [
        ("Height (in)", [24], "in"),
        ("Height cm", [24], "cm"),
        ("Height", ["24 in", "61 cm", "2'"], "written"),
        ("Height", [24, 30, 36.5], "in"),
        ("Height", [90, 110, 140], "cm"),
        ("Height", [0.9, 1.2], "m"),
        ("Height", [3, 4, 4.5], "ft"),
    ],
)
def test_the_unit_is_guessed_from_the_heading_then_from_the_values(
    heading: str, values: list[Any], unit: str
) -> None:
    table = read(workbook([["No", heading], *([n, value] for n, value in enumerate(values))]))
    found = guess(table)
    assert found.columns[1].reads_as == unit
    unsure = heading == "Height" and unit != "written"
    assert bool(cautions(table, found)) == unsure


def values_of(heading: str, value: Any, **more: Any) -> dict[str, Any]:
    [verdict] = judged(
        workbook([["No", "Section", heading, *more], [1, "Old", value, *more.values()]])
    ).verdicts
    assert verdict.problems == ()
    return verdict.values | (verdict.look or {})


@pytest.mark.parametrize(
    ("heading", "value", "field", "expected"),
    [
        ("Height (in)", 24, "height_cm", 61),
        ("Height (in)", "61 cm", "height_cm", 61),
        ("Height (in)", "2' 6\"", "height_cm", 76),
        ("Height (in)", "24 ½", "height_cm", 62),
        ("Height (cm)", "61,5", "height_cm", 62),
        ("Height (ft)", "2", "height_cm", 61),
        ("Type", "Die on base", "type", "pedestal"),
        ("Type", "HEADSTONES", "type", "tablet"),
        ("Material", "White marble", "material", "marble"),
        ("Material", "gray granite", "material", "granite"),
        ("Year", "1850", "year_on_stone", 1850),
        ("Year", midnight(1850, 3, 2), "year_on_stone", 1850),
        ("Name", "  A.  Cobb ", "name_on_stone", "A. Cobb"),
        ("Pieces", 2.0, "pieces", 2),
    ],
)
def test_cells_are_read_as_people_write_them(
    heading: str, value: Any, field: str, expected: Any
) -> None:
    assert values_of(heading, value)[field] == expected


@pytest.mark.parametrize(
    ("value", "expected"),
    [
        ("2025-05-01", date(2025, 5, 1)),
        (midnight(2025, 5, 1), date(2025, 5, 1)),
        (45778, date(2025, 5, 1)),
        ("5/1/2025", date(2025, 5, 1)),
        ("5/13/25", date(2025, 5, 13)),
        ("13/5/2025", date(2025, 5, 13)),
        ("13.5.2025", date(2025, 5, 13)),
        ("May 1, 2025", date(2025, 5, 1)),
        ("1st May 2025", date(2025, 5, 1)),
        ("29 Feb 2024", date(2024, 2, 29)),
    ],
)
def test_days_are_read_in_the_order_that_the_column_shows(value: Any, expected: date) -> None:
    assert values_of("Surveyed on", value, Signs="none")["on"] == expected


def test_days_that_can_be_read_in_two_ways_are_told() -> None:
    table = read(workbook([["No", "Date"], [1, "5/6/2025"], [2, "7/8/2025"]]))
    assert "can be read in two ways" in " ".join(cautions(table, guess(table)))
    sure = read(workbook([["No", "Date"], [1, "5/6/2025"], [2, "13/8/2025"]]))
    assert cautions(sure, guess(sure)) == []
    assert guess(sure).columns[1].reads_as == "dmy"


@pytest.mark.parametrize(
    ("heading", "value", "sentence"),
    [
        ("Height (in)", "tall", "Row 2, Height (C2): “tall” is no length"),
        ("Height (cm)", 4000, "Row 2, Height (C2): “4000” would be 40 m: give 1 to 1500 cm."),
        ("Height (cm)", -61, "would be -0.61 m"),
        ("Height (cm)", "-61 cm", "would be -0.61 m"),
        ("Height (cm)", 0, "would be 0 m"),
        ("Height (cm)", "1,200", "without a comma"),
        ("Row", "B", "“B” is not a whole number."),
        ("Row", 2.5, "“2.5” is not a whole number."),
        ("Row", True, "“TRUE” is not a whole number."),
        ("Year", 2087, "“2087” is a year to come."),
        ("Year", "c. 1850", "is not a whole number"),
        ("Latitude", 142, "is out of bounds: give -90 to 90 degrees."),
        ("East (m)", "far", "“far” is not a number."),
        ("Type", "menhir", "“menhir” is a word not known here; known are: tablet,"),
        ("Material", "cheese", "known are: marble, granite"),
        ("Surveyed on", "31/2/2025", "is no day of the calendar"),
        ("Surveyed on", "soon", "“soon” is not a day; write it like 2026-05-09."),
        ("Surveyed on", "2027-05-01", "this day is to come"),
        ("Surveyed on", "1950-05-01", "Give a day from 1980 on."),
        ("Name", "x" * 200, "is longer than 160 letters."),
        ("Lean", 120, "is out of bounds: give 0 to 90."),
        ("Section", "Moon", "there is no section “Moon” here"),
    ],
)
def test_each_bad_cell_is_told_with_its_address(heading: str, value: Any, sentence: str) -> None:
    head, row = ["No", "Section", heading], [1, "Old", value]
    if heading == "Section":
        head, row = ["No", "Section"], [1, value]
    if heading == "Surveyed on":
        head, row = [*head, "Signs"], [*row, "none"]
    found = judged(workbook([head, row]))
    assert [verdict.outcome for verdict in found.verdicts] == [Outcome.PROBLEM]
    assert sentence in sentences(found)[0]


def test_a_formula_without_a_value_is_told_with_its_address() -> None:
    octets = without_value(workbook([["No", "Section", "Height (cm)"], [1, "Old", "=60+1"]]), "C2")
    assert sentences(judged(octets)) == [
        "Row 2, Height (C2): holds a formula without a value: open the file, save it, and it "
        "keeps its values."
    ]


def test_a_number_twice_in_the_file_is_a_problem_of_both_rows() -> None:
    found = judged(workbook([["No", "Section"], ["a1", "Old"], ["A1", "Old"], ["a2", "Old"]]))
    assert sentences(found) == [
        "Row 2, Number: stone “a1” is in row 3 as well.",
        "Row 3, Number: stone “A1” is in row 2 as well.",
    ]


def test_a_stone_needs_a_number_and_a_new_one_a_section() -> None:
    found = judged(workbook([["No", "Section", "Name"], [None, "Old", "x"], [2, None, "y"]]))
    assert sentences(found) == [
        "Row 2: the stone has no number.",
        "Row 3: a new stone needs a section.",
    ]
    rows = [["No", "Section", "Name"], [2, None, "y"], [3, "new one", "z"], [4, "New One", "z"]]
    made = judged(workbook(rows), section="Old", new_sections=True)
    assert sentences(made) == []
    assert made.sections == ("new one",)
    assert [v.values["section"] for v in made.verdicts] == ["Old", "new one", "new one"]


def test_what_a_row_changes_is_told_and_blank_cells_leave_all_as_it_is() -> None:
    head = ["No", "Section", "Height (cm)", "Material"]
    found = judged(workbook([head, [7, "old", 70, None]]), SEVEN).verdicts[0]
    assert (found.outcome, found.stone) == (Outcome.CHANGED, 1)
    assert found.changes == {"height_cm": (61, 70)}
    same = judged(workbook([head, [7, None, 61, "Marble"]]), SEVEN).verdicts[0]
    assert same.outcome is Outcome.SAME


LOOK = ["No", "Date", "Signs", "Sound", "Lean"]


@pytest.mark.parametrize(
    ("row", "outcome"),
    [
        ([7, "2025-05-01", "moss", "rings", 2], Outcome.SAME),
        ([7, "2025-05-01", "moss", None, None], Outcome.SAME),
        ([7, "2025-05-02", "moss", "rings", 2], Outcome.CHANGED),
        ([7, "2025-05-01", "moss; crack", "rings", 2], Outcome.CHANGED),
    ],
)
def test_a_look_that_is_known_is_the_same(row: list[Any], outcome: Outcome) -> None:
    assert judged(workbook([LOOK, row]), SEVEN).verdicts[0].outcome is outcome


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        ([7, None, "moss", None, None], "no day is given for the look"),
        ([7, "2025-06-01", None, "solid", 0], "write “none” where nothing was seen"),
        ([7, "2025-06-01", "none, moss", None, None], "nothing was seen, and something else"),
        ([7, "2025-06-01", "haunted", None, None], "“haunted” is a word not known here"),
    ],
)
def test_a_look_that_says_too_little_is_a_problem(row: list[Any], sentence: str) -> None:
    found = judged(workbook([LOOK, row]), SEVEN)
    assert sentence in sentences(found)[0]


def test_a_person_may_say_that_no_signs_mean_none_seen() -> None:
    rows = [LOOK, [7, "2025-06-01", None, "solid", 0]]
    look = judged(workbook(rows), SEVEN, blank_is_none=True).verdicts[0].look
    assert look == {"on": date(2025, 6, 1), "signs": [], "sound": "solid", "lean_degrees": 0}


def test_totals_repeated_headings_and_blank_rows_are_passed_over() -> None:
    head = ["No", "Section", "Name"]
    rows = [head, [1, "Old", "a"], [], head, [2, "Old", "b"], ["TOTAL", None, 2]]
    found = judged(workbook(rows))
    assert [verdict.number for verdict in found.verdicts] == ["1", "2"]


def test_a_person_chooses_what_a_word_stands_for() -> None:
    table = read(workbook([["No", "Section", "Type"], [1, "Old", "Menhir"]]))
    told = guess(table).as_json() | {"words": {"type": {"MENHIR": "other"}}}
    [verdict] = judged(
        workbook([["No", "Section", "Type"], [1, "Old", "Menhir"]]),
        mapping=mappings.from_json(told),
    ).verdicts
    assert verdict.values["type"] == "other"


def test_a_kept_mapping_fits_a_sheet_whose_columns_moved() -> None:
    first = read(workbook([["No", "Section", "Big"], [1, "Old", 24]]))
    told = guess(first).as_json()
    told["columns"][2] |= {"field": "height_cm", "reads_as": "in"}
    second = read(workbook([["A title"], ["Big", "Name", "No"], [24, "x", 1]]))
    found = onto(mappings.from_json(told), second, guess(second))
    assert [(one.field, one.reads_as) for one in found.columns] == [
        ("height_cm", "in"), ("name_on_stone", ""), ("number", ""),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("{", "is not JSON"),
        ("[]", "names no columns"),
        ('{"columns": [1]}', "needs a heading and a field"),
        ('{"columns": [{"heading": "A", "field": "mass"}]}', "which is no field"),
        ('{"columns": [{"heading": "A", "field": "height_cm", "reads_as": "rod"}]}', "one of: in"),
        ('{"columns": [], "header_row": "x"}', "must be a number from 1"),
        ('{"columns": [], "words": {"type": {"a": "b"}}}', "cannot stand for “b”"),
        ('{"columns": [], "words": {"mass": {}}}', "no field with words"),
    ],
)
def test_a_mapping_that_makes_no_sense_is_refused(text: str, sentence: str) -> None:
    with pytest.raises(NotAMappingError) as found:
        mappings.from_text(text)
    assert sentence in str(found.value)


def test_a_mapping_comes_back_from_its_json_unchanged() -> None:
    found = guess(read(workbook([["No", "Height", "Date"], [1, 24, "5/6/2025"]])))
    assert mappings.from_json(found.as_json()) == found
    assert found.refusals() == []
    bare = guess(read(workbook([["Height", "Name"], [1, "x"]])))
    assert bare.refusals() == ["No column is read as the number of the stone: choose one."]


@pytest.mark.parametrize(
    ("epoch", "on"), [("1900", date(2020, 6, 18)), ("1904", date(2024, 6, 19))]
)
def test_a_day_kept_as_a_number_is_counted_from_the_first_day_of_its_workbook(
    epoch: str, on: date
) -> None:
    book = Workbook()
    book.epoch = CALENDAR_MAC_1904 if epoch == "1904" else CALENDAR_WINDOWS_1900
    for row in (["No", "Section", "Date", "Signs"], ["A1", "Old", 44_000, "none"]):
        book.worksheets[0].append(row)
    look = judged(saved(book)).verdicts[0].look
    assert look is not None
    assert look["on"] == on


def test_a_row_of_totals_is_passed_over_and_a_stone_of_a_like_name_is_not() -> None:
    head, stone = ["Name", "No", "Section", "Height (in)"], ["Mean", "A1", "Old", 24]
    totals = [["Total", None, None, 24], [None, "Sum", None, 24]]
    found = judged(workbook([head, stone, *totals]))
    assert [(one.row, one.number) for one in found.verdicts] == [(2, "A1")]
