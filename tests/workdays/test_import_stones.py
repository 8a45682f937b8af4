"""The command brings a sheet in with the words of the pages, whole or not at all."""

import json
from collections.abc import Callable, Iterable
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import pytest
import time_machine
from django.core.management import CommandError, call_command
from openpyxl import Workbook

from coordinator.models import AuditEntry
from tests import factories
from tests.workdays.spreadsheets.made import workbook
from workdays.models import Cemetery, SheetImport

pytestmark = pytest.mark.django_db
ROWS: list[list[Any]] = [
    ["No", "Section", "Height (in)", "Date", "Signs"],
    ["A1", "Old", 24, "2026-04-01", "moss"],
    ["A2", "Old", 30, None, None],
]
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def place() -> Cemetery:
    return factories.make_section(
        factories.make_cemetery(name="Alder Hill", slug="alder-hill"), name="Old"
    ).cemetery


@pytest.fixture
def run(settings: Any, tmp_path: Path, place: Cemetery) -> Run:
    """Give what runs the command on rows; its exit code and both outputs."""
    settings.MEDIA_ROOT = tmp_path / "files"

    def command(rows: Iterable[Any] | bytes, *words: str) -> tuple[int, str, str]:
        file, out, err = tmp_path / "hill.xlsx", StringIO(), StringIO()
        file.write_bytes(rows if isinstance(rows, bytes) else workbook(rows))
        words = words or ("--cemetery=Alder Hill",)
        with time_machine.travel(factories.NOW, tick=False):
            try:
                call_command("import_stones", str(file), *words, stdout=out, stderr=err)
            except SystemExit as end:
                return int(end.code or 0), out.getvalue(), err.getvalue()
        return 0, out.getvalue(), err.getvalue()

    return command


def test_a_good_sheet_is_brought_in(run: Run, place: Cemetery) -> None:
    code, out, err = run(ROWS)
    assert (code, err) == (0, "")
    assert '"field": "height_cm"' in out
    assert "2 stones are new." in out
    assert "It is brought in." in out
    assert [stone.height_cm for stone in place.stones.order_by("number")] == [61, 76]
    sheet = SheetImport.objects.get()
    assert (sheet.state, sheet.by, sheet.file_name) == ("done", None, "hill.xlsx")
    assert AuditEntry.objects.get(verb="brought in").rule == "a command on the machine"


def test_the_same_again_changes_nothing_and_keeps_nothing(run: Run, place: Cemetery) -> None:
    run(ROWS)
    code, out, _ = run(ROWS)
    assert code == 0
    assert "nothing changes" in out
    assert SheetImport.objects.count() == 1


def test_a_trial_writes_nothing(run: Run, place: Cemetery) -> None:
    code, out, _ = run(ROWS, "--cemetery=alder-hill", "--dry-run")
    assert code == 0
    assert "2 stones are new." in out
    assert not place.stones.exists()
    assert not SheetImport.objects.exists()


def test_a_problem_ends_it_with_the_words_of_the_page(run: Run, place: Cemetery) -> None:
    code, out, err = run([*ROWS, ["A3", "Old", 1600, None, None]])
    assert code == 1
    assert "Row 4, Height (C4): “1600” would be 40.64 m: give 1 to 1500 cm." in err
    assert "1 row has a problem." in out
    assert not place.stones.exists()
    assert not SheetImport.objects.exists()


def test_a_mapping_says_how_columns_are_read(run: Run, place: Cemetery, tmp_path: Path) -> None:
    told = {
        "columns": [
            {"heading": "Nr", "field": "number"},
            {"heading": "Big", "field": "height_cm", "reads_as": "ft"},
        ],
        "section": "Old",
    }
    (tmp_path / "map.json").write_text(json.dumps(told))
    words = ("--cemetery=Alder Hill", f"--mapping={tmp_path / 'map.json'}")
    code, out, _ = run([["Big", "Nr"], [2, "A1"]], *words)
    assert code == 0
    assert '"field"' not in out
    assert place.stones.get().height_cm == 61


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (("--cemetery=Nowhere",), "No cemetery is called “Nowhere”. Known are: Alder Hill."),
        (("--cemetery=Alder Hill", "--mapping=missing.json"), "missing.json cannot be read"),
    ],
)
def test_wrong_words_are_answered(run: Run, words: tuple[str, ...], sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence):
        run(ROWS, *words)


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        (b"%PDF-1.7", "This is a PDF"),
        (b"", "The file is empty."),
        ([["Height", "Name"], [1, "x"]], "No column is read as the number of the stone"),
    ],
)
def test_what_is_no_sheet_is_answered(run: Run, rows: Any, sentence: str) -> None:
    with pytest.raises(CommandError, match=sentence):
        run(rows)
    assert not SheetImport.objects.exists()


def test_a_heading_alone_is_no_success(run: Run) -> None:
    code, out, _ = run(ROWS[:1])
    assert (code, "no row of a stone" in out) == (1, True)


NUMBERED = [{"heading": "No", "field": "number"}]


@pytest.mark.parametrize(
    ("told", "sentence"),
    [
        ({"words": {"type": {"stele": ["tablet"]}}}, "“stele” cannot stand for “.'tablet'.”"),
        ({"words": {"type": {"stele": {}}}}, "“stele” cannot stand for “{}”"),
        ({"section": "x" * 81}, "“section” of the mapping is longer than 80 letters."),
    ],
)
def test_what_a_mapping_cannot_say_is_answered(
    run: Run, tmp_path: Path, told: dict[str, Any], sentence: str
) -> None:
    (tmp_path / "map.json").write_text(json.dumps({"columns": NUMBERED} | told))
    with pytest.raises(CommandError, match=sentence):
        run(ROWS, "--cemetery=Alder Hill", f"--mapping={tmp_path / 'map.json'}")


@pytest.mark.parametrize(("section", "name"), [("N\ud800ew\x00", "New"), ("New", "New"), (7, "7")])
def test_the_section_of_a_mapping_is_read_as_a_cell_would_be(
    run: Run, place: Cemetery, tmp_path: Path, section: object, name: str
) -> None:
    told = {"columns": NUMBERED, "section": section, "new_sections": True}
    file = tmp_path / "map.json"
    file.write_text(f"\ufeff{json.dumps(told)}", encoding="utf-8")
    code, _, err = run([["No"], ["A1"]], "--cemetery=Alder Hill", f"--mapping={file}")
    assert (code, err) == (0, "")
    assert place.stones.get().section.name == name


def test_a_mapping_says_which_sheet_of_a_workbook_is_read(
    run: Run, place: Cemetery, tmp_path: Path
) -> None:
    book = Workbook()
    for name, number in (("First", "A1"), ("Second", "B1")):
        page = book.create_sheet(name)
        page.append(["No", "Section"])
        page.append([number, "Old"])
    book.remove(book.worksheets[0])
    octets = BytesIO()
    book.save(octets)
    told = {"columns": [*NUMBERED, {"heading": "Section", "field": "section"}], "sheet": "Second"}
    (tmp_path / "map.json").write_text(json.dumps(told))
    run(octets.getvalue(), "--cemetery=Alder Hill", f"--mapping={tmp_path / 'map.json'}")
    assert [stone.number for stone in place.stones.all()] == ["B1"]


def test_names_in_letters_of_another_encoding_are_no_error(
    settings: Any, tmp_path: Path, place: Cemetery
) -> None:
    settings.MEDIA_ROOT = tmp_path / "files"
    file = tmp_path / "h\udcfcgel.csv"
    file.write_text("No,Section\nA1,Old\n")
    with pytest.raises(CommandError, match="No cemetery is called “H gel”"):
        call_command("import_stones", str(file), "--cemetery=H \udcfcgel", stdout=StringIO())
    call_command("import_stones", str(file), "--cemetery=alder-hill", stdout=StringIO())
    assert SheetImport.objects.get().file_name == "hgel.csv"


def test_of_cemeteries_with_one_name_the_short_words_are_told(run: Run, place: Cemetery) -> None:
    factories.make_cemetery(name="ALDER HILL", slug="alder-hill-2")
    with pytest.raises(CommandError, match=r"give one of: alder-hill, alder-hill-2\."):
        run(ROWS, "--cemetery=Alder Hill")
