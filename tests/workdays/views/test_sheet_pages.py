"""A spreadsheet through the pages: in, mended, undone, out; and whatever is no spreadsheet."""

import csv
import io
import re
from collections.abc import Iterable
from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from tests.workdays.spreadsheets.made import with_part, without_value, workbook
from workdays.models import Cemetery, SheetImport, Survey
from workdays.spreadsheets.reading import read

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
ROWS: list[list[Any]] = [
    ["No", "Section", "Type", "Height (in)", "Date", "Signs"],
    ["A1", "Old", "tablet", 24, "2026-04-01", "moss"],
    ["A2", "Old", "menhir", 30, None, None],
]


@pytest.fixture(autouse=True)
def files_apart(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def place() -> Cemetery:
    return factories.make_section(name="Old").cemetery


@pytest.fixture
def ruth(client: Client) -> Person:
    ruth = factories.make_staff()
    log_in(client, ruth)
    return ruth


def sent(client: Client, place: Cemetery, rows: Iterable[Any] | bytes, name: str = "h.xlsx") -> Any:
    """Hand a file in at the page."""
    octets = rows if isinstance(rows, bytes) else workbook(rows)
    path = reverse("sheets", args=[place.slug])
    return client.post(path, {"file": SimpleUploadedFile(name, octets)})


def address(name: str, place: Cemetery) -> str:
    return reverse(name, args=[place.slug, SheetImport.objects.latest("pk").pk])


def page(client: Client, name: str, place: Cemetery, **query: str) -> str:
    answer = client.get(address(name, place), query)
    assert answer.status_code == 200
    return answer.content.decode()


def told(client: Client, place: Cemetery) -> dict[str, Any]:
    """Return what the form of the columns holds as it is shown."""
    form = client.get(address("sheet_columns", place)).context["form"]
    values = {name: form[name].value() for name in form.fields}
    return {name: value for name, value in values.items() if value not in (None, False)}


def choose(client: Client, place: Cemetery, **choices: str) -> Any:
    return client.post(address("sheet_columns", place), told(client, place) | choices, follow=True)


def press(client: Client, name: str, place: Cemetery, **values: str) -> str:
    answer = client.post(address(name, place), values, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def seen(shown: str) -> str:
    found = re.search(r'name="seen" value="(\w+)"', shown)
    assert found
    return found[1]


def test_a_sheet_comes_in_by_the_pages_and_goes_again(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    answer = sent(client, place, ROWS)
    assert answer["Location"] == address("sheet_columns", place)
    shown = page(client, "sheet_columns", place)
    assert "h.xlsx: say what its 6 columns hold" in shown
    assert "24 · 30" in shown
    assert "“menhir”, 1 cell" in shown
    assert "“menhir” is a word not known here" in page(client, "sheet", place)
    word = next(name for name in told_names(client, place) if name.startswith("word_type"))
    shown = choose(client, place, **{word: "other"}).content.decode()
    assert "2 rows can come in, none has a problem" in shown
    assert not place.stones.exists()
    shown = press(client, "sheet_import", place, seen=seen(shown))
    assert "It is brought in." in shown
    assert "2 stones added." in shown
    assert place.stones.get(number="A2").type == "other"
    assert "brought in already" in press(client, "sheet_import", place, seen="")
    assert place.stones.count() == 2
    shown = press(client, "sheet_undo", place)
    assert "undone on Wednesday 6 May 2026" in shown
    assert "It is undone." in shown
    assert not place.stones.exists()
    assert "2 rows can come in" in shown


def told_names(client: Client, place: Cemetery) -> list[str]:
    return list(client.get(address("sheet_columns", place)).context["form"].fields)


def test_rows_with_problems_are_left_out_by_a_button(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    sent(client, place, ROWS)
    shown = page(client, "sheet", place)
    assert "Leave out 1 row, bring in the other 1" in shown
    assert "Nothing was brought in. Row 3" in press(client, "sheet_import", place, seen=seen(shown))
    shown = press(client, "sheet_import", place, seen=seen(shown), leave_out="yes")
    assert "1 row with a problem left out." in shown
    assert [stone.number for stone in place.stones.all()] == ["A1"]


def test_what_somebody_looked_at_must_still_hold(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    sent(client, place, ROWS[:2])
    shown = page(client, "sheet", place)
    factories.make_stone(place.sections.get(), number="A1")
    assert "look through it again" in press(client, "sheet_import", place, seen=seen(shown))
    assert not Survey.objects.exists()


def test_a_choice_that_is_refused_loses_nothing(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    sent(client, place, ROWS)
    answer = choose(client, place, field_2="number", field_5="notes", new_sections="on")
    shown = answer.content.decode()
    assert "Two columns are read as “Number”: choose one." in shown
    assert answer.context["form"]["field_5"].value() == "notes"
    assert answer.context["form"]["new_sections"].value() is True
    assert "Two columns" not in page(client, "sheet_columns", place)
    shown = choose(client, place, field_0="").content.decode()
    assert "No column is read as the number of the stone: choose one." in shown
    shown = choose(client, place, field_0="mass").content.decode()
    assert "mass is not one of the available choices" in shown


def test_headings_elsewhere_are_read_again_and_choices_stay(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    rows = [["Stones of the hill", None], ["No", "Odd"], ["A1", 24], ["A2", 30]]
    sent(client, place, rows)
    choose(client, place, field_1="height_cm")
    path = address("sheet_columns", place)
    where = {"where": "1", "where-header_row": "1", "where-header_lines": "1"}
    client.post(path, where)
    assert "No column is read as the number" in page(client, "sheet", place)
    client.post(path, where | {"where-header_row": "2"})
    assert told(client, place)["field_0"] == "number"
    for row, words in [
        ("9", "ends at row 4"),
        ("0", "greater than or equal"),
        ("x", "whole number"),
    ]:
        answer = client.post(path, where | {"where-header_row": row})
        assert words in answer.content.decode()


def test_a_form_of_other_headings_is_told(client: Client, place: Cemetery, ruth: Person) -> None:
    sent(client, place, ROWS)
    shown = choose(client, place, heads="0" * 16).content.decode()
    assert "Somebody chose another row of headings meanwhile" in shown


def test_a_sheet_of_a_workbook_can_be_chosen(client: Client, place: Cemetery, ruth: Person) -> None:
    octets = workbook(ROWS, More=[["No", "Section"], ["B1", "Old"]])
    sent(client, place, octets)
    where = {"where": "1", "where-sheet": "More", "where-header_row": "1"}
    client.post(address("sheet_columns", place), where | {"where-header_lines": "1"})
    shown = page(client, "sheet", place)
    assert "1 row can come in" in shown
    assert "B1" in shown


def test_days_that_can_be_read_both_ways_are_asked_for(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    rows = [["No", "Section", "Date", "Signs"], ["A1", "Old", "3/4/2026", "moss"]]
    sent(client, place, rows)
    assert "can be read in two ways: they are read as month, day" in page(client, "sheet", place)
    shown = choose(client, place, reads_2="dmy").content.decode()
    press(client, "sheet_import", place, seen=seen(shown))
    assert Survey.objects.get().on == date(2026, 4, 3)


def bomb() -> bytes:
    return with_part(workbook(ROWS), "xl/sharedStrings.xml", b" " * (60 * 1024 * 1024))


NO_SHEETS: dict[str, tuple[bytes, str, str]] = {
    "empty": (b"", "a.csv", "The file is empty."),
    "blank": (b"\n,,\n", "a.csv", "no row with anything in it"),
    "pdf": (b"%PDF-1.7", "a.xlsx", "This is a PDF"),
    "web page": (b"<html><table>", "a.xls", "This is a web page"),
    "old": (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 99, "a.xls", "old binary format"),
    "broken": (b"PK\x03\x04xx", "a.xlsx", "The file is broken"),
    "bytes": (b"No\n\x00\x01", "a.csv", "bytes that no text has"),
    "large": (b"1,2\n" * 3_000_000, "a.csv", "larger than 10 MB"),
    "million": (b"1\n" * 1_000_000, "a.csv", "more than 50,000 rows"),
    "bomb": (bomb(), "a.xlsx", "would unpack to"),
    "wide": (b"a," * 150 + b"b\n", "a.csv", "more than 100 columns"),
    "huge cell": (b'No,Notes\n1,"' + b"x" * 140_000 + b'"\n', "a.csv", "far too long"),
}


@pytest.mark.parametrize("what", NO_SHEETS)
def test_what_is_no_sheet_gets_a_sentence_and_is_not_kept(
    client: Client, place: Cemetery, ruth: Person, what: str
) -> None:
    octets, name, words = NO_SHEETS[what]
    answer = sent(client, place, octets, name)
    assert answer.status_code == 200
    assert words in " ".join(answer.context["form"].errors["file"])
    assert not SheetImport.objects.exists()


def test_no_file_is_told(client: Client, place: Cemetery, ruth: Person) -> None:
    answer = client.post(reverse("sheets", args=[place.slug]), {})
    assert "This field is required." in answer.content.decode()


def row(**cells: Any) -> list[list[Any]]:
    values = {"No": "A1", "Section": "Old"} | cells
    return [list(values), list(values.values())]


ODD_ROWS: dict[str, tuple[Any, str]] = {
    "a 40 m stone": (row(**{"Height (cm)": 4000}), "“4000” would be 40 m: give 1 to 1500 cm."),
    "a negative size": (row(**{"Height (cm)": -61}), "“-61” would be -0.61 m"),
    "text in a number": (row(Row="third"), "Row (C2): “third” is not a whole number."),
    "a huge number": (row(Row="9" * 30), "is not a whole number"),
    "no such day": (row(Date="31/2/2026", Signs="none"), "is no day of the calendar"),
    "a day to come": (row(Date="2026-12-01", Signs="none"), "this day is to come"),
    "a number twice": ([*row(), ["a1", "Old"]], "stone “A1” is in row 3 as well."),
    "a long text": (row(Name="x" * 300), "is longer than 160 letters."),
    "no section": (row(Section="Moon"), "there is no section “Moon” here"),
    "a formula without a value": (
        without_value(workbook(row(**{"Height (cm)": "=60+1"})), "C2"),
        "(C2): holds a formula without a value",
    ),
    "an error of a formula": (
        workbook(row(**{"Height (cm)": "#REF!"})),
        "(C2): ",
    ),
}


@pytest.mark.parametrize("what", ODD_ROWS)
def test_each_odd_row_is_told_by_the_page_and_nothing_is_stored(
    client: Client, place: Cemetery, ruth: Person, what: str
) -> None:
    rows, words = ODD_ROWS[what]
    sent(client, place, rows)
    answer = client.get(address("sheet", place))
    problems = list(answer.context["page"].problems)
    assert words in " ".join(problems)
    shown = press(client, "sheet_import", place, seen=answer.context["page"].fingerprint)
    assert "Nothing was brought in." in shown
    assert not place.stones.exists()


def test_mixed_encodings_and_a_wrong_ending_are_told(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    lines = [b"No,Section,Name\n", "1,Old,Zoë\n".encode(), "2,Old,José\n".encode("cp1252")]
    sent(client, place, b"".join(lines), "stones.xlsx")
    shown = page(client, "sheet", place)
    assert "The name ends in .xlsx, but the content is plain text" in shown
    assert "The file mixes encodings: in row 3 letters" in shown
    press(client, "sheet_import", place)
    assert {stone.name_on_stone for stone in place.stones.all()} == {"Zoë", "José"}


def test_no_exported_cell_is_a_formula_and_all_come_back(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    odd = {"name_on_stone": "=HYPERLINK(1)", "notes": "@SUM(1)\n-2", "measured_how": "'+tape"}
    factories.make_stone(place.sections.get(), number="-5", **odd)
    answer = client.get(reverse("sheet_csv", args=[place.slug]))
    assert "stones-2026-05-06.csv" in answer["Content-Disposition"]
    text = answer.getvalue().decode("utf-8-sig")
    cells = [cell for line in csv.reader(io.StringIO(text)) for cell in line]
    assert [cell for cell in cells if cell.startswith(("=", "+", "-", "@", "'+"))] == []
    workbook_answer = client.get(reverse("sheet_xlsx", args=[place.slug]))
    assert read(workbook_answer.content).rows[1].cells[0] == "'-5"
    for octets, name in ((text.encode(), "a.csv"), (workbook_answer.content, "a.xlsx")):
        sent(client, place, octets, name)
        shown = page(client, "sheet", place)
        assert f"{name}: nothing would change" in shown
        assert "Bring in" not in shown
        assert "nothing changes" in press(client, "sheet_import", place)


def test_a_name_of_a_file_is_only_shown(client: Client, place: Cemetery, ruth: Person) -> None:
    sent(client, place, ROWS, "<b>x\u202e" + "y" * 300 + ".xlsx")
    assert SheetImport.objects.get().file_name.startswith("<b>x")
    assert "&lt;b&gt;x" in page(client, "sheet", place)


def test_a_sheet_is_thrown_away(client: Client, place: Cemetery, ruth: Person) -> None:
    sent(client, place, ROWS)
    assert "The sheet is thrown away." in press(client, "sheet_discard", place)
    assert not SheetImport.objects.exists()


def test_a_sheet_opens_at_its_own_cemetery_only(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    sent(client, place, ROWS)
    other = factories.make_cemetery()
    pk = SheetImport.objects.get().pk
    for name in ("sheet", "sheet_columns"):
        assert client.get(reverse(name, args=[other.slug, pk])).status_code == 404
    assert client.post(reverse("sheet_import", args=[other.slug, pk])).status_code == 404
    assert client.get(f"/ground/{place.slug}/sheets/{10**30}/").status_code == 404
    assert client.get(address("sheet_import", place)).status_code == 405


def test_pages_that_are_not_there_show_the_nearest(
    client: Client, place: Cemetery, ruth: Person
) -> None:
    sent(client, place, [ROWS[0], *([f"A{n}", "Old", "tablet"] for n in range(120))])
    assert "Page 3 of 3" in page(client, "sheet", place, page="99", problems="x\x00")
    assert "A60" in page(client, "sheet", place, page="2")
