"""What a file is and what stands in it, whatever its name and its letters."""

import io
import zipfile

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook
from openpyxl.styles import numbers

from tests.workdays.spreadsheets.made import saved, with_part, without_value, workbook
from workdays.spreadsheets import limits
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.table import Flaw, NotASheetError

HEAD = ["No", "Section", "Height"]
SHEET = "xl/worksheets/sheet1.xml"
WHOLE = workbook([HEAD, [1, "a", "=1+1"], ["x", 2.5, None]])


def refused(octets: bytes, name: str = "stones.xlsx") -> str:
    with pytest.raises(NotASheetError) as found:
        read(octets, name)
    return str(found.value)


def answer(octets: bytes) -> str:
    """Return the sentence of a refusal, or that there are rows."""
    try:
        return f"{len(read(octets).rows)} rows are read."
    except NotASheetError as refusal:
        return str(refusal)


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_delimiter_is_found_out(delimiter: str) -> None:
    lines = [HEAD, ["1", "Old, by the wall", "2' 6"], ["2", "New", "24"]]
    quoted = [[f'"{cell}"' if "," in cell else cell for cell in line] for line in lines]
    text = "\r\n".join(delimiter.join(line) for line in quoted)
    table = read(text.encode(), "stones.csv")
    assert [row.cells for row in table.rows] == [tuple(line) for line in lines]


def test_a_first_line_that_names_the_delimiter_is_believed() -> None:
    table = read(b"sep=;\nNo;Height\n1;61,5\n")
    assert [(row.number, row.cells) for row in table.rows][1:] == [(3, ("1", "61,5"))]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_every_encoding_gives_the_same_rows(encoding: str) -> None:
    octets = "No,Name\n1,Zoë Müller\n2,José Peña\n".encode(encoding)
    assert [row.cells[1] for row in read(octets).rows[1:]] == ["Zoë Müller", "José Peña"]


def test_a_file_that_mixes_encodings_says_in_which_rows_letters_were_guessed() -> None:
    lines = [b"No,Name\n", "1,Zoë\n".encode(), "2,José\n".encode("cp1252"), b"3,Ann\n"]
    table = read(b"".join(lines), "stones.csv")
    assert [row.cells[1] for row in table.rows] == ["Name", "Zoë", "José", "Ann"]
    assert table.guessed == (3,)
    assert "in row 3 letters" in table.notes[0]


def test_a_cell_with_line_ends_does_not_shift_the_rows() -> None:
    octets = b'No,Notes\n1,"two\nlines"\n2,caf\xe9\n'
    table = read(octets)
    assert table.guessed == (3,)
    assert table.rows[1].cells == ("1", "two\nlines")


@pytest.mark.parametrize(
    ("octets", "words"),
    [
        (b"", "empty"),
        (b"%PDF-1.7\n...", "PDF"),
        (b"<!DOCTYPE html><table><tr><td>1", "web page"),
        (b"\xef\xbb\xbf<html>", "web page"),
        (b"<?xml version='1.0'?><Workbook/>", "web page or XML"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "old binary format"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + "EncryptedPackage".encode("utf-16-le"),
            "locked with a password",
        ),
        (b"PK\x03\x04 and nothing more", "broken"),
        (b"\x89PNG\r\n\x1a\n....", "picture"),
        (b"\x1f\x8b\x08 compressed", "compressed"),
        (b"No,Height\n1,\x00\x01\x02", "bytes that no text has"),
        (b"\n \n,,,\n", "no row"),
        (b'No,Notes\n1,"never closed' + b"x" * 140_000, "never"),
    ],
)
def test_what_is_no_sheet_is_refused_in_a_sentence(octets: bytes, words: str) -> None:
    assert words in refused(octets)


def archive(**parts: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as made:
        for name, content in parts.items():
            made.writestr(name.replace("__", "/"), content)
    return out.getvalue()


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"word__document.xml": b"<w/>"}, "text document"),
        ({"xl__workbook.bin": b"\0"}, "binary workbook"),
        ({"mimetype": b"application/vnd.oasis.opendocument.spreadsheet"}, "archive without"),
        ({"stones.csv": b"No\n1\n"}, "archive without a workbook"),
        ({"xl__workbook.xml": b"<not a workbook"}, "broken"),
    ],
)
def test_an_archive_that_is_no_workbook_is_refused(parts: dict[str, bytes], words: str) -> None:
    assert words in refused(archive(**parts))


def test_an_archive_that_would_unpack_to_too_much_is_not_unpacked() -> None:
    bomb = with_part(workbook([HEAD]), "xl/sharedStrings.xml", b" " * (60 * 1024 * 1024))
    assert len(bomb) < 100_000
    assert "would unpack to" in refused(bomb)
    swollen = with_part(workbook([HEAD]), SHEET, b"<a>" + b" " * (30 * 1024 * 1024) + b"</a>")
    assert "would unpack to" in refused(swollen)


def test_entities_that_grow_are_refused() -> None:
    grow = b"".join(b"<!ENTITY a%d '%s'>" % (n, b"&a%d;" % (n - 1) * 9) for n in range(1, 9))
    content = b"<!DOCTYPE x [<!ENTITY a0 'ha'>" + grow + b"]><worksheet>&a8;</worksheet>"
    assert "broken" in refused(with_part(workbook([HEAD]), SHEET, content))


def test_a_million_rows_are_refused_without_being_read() -> None:
    assert "more than 50,000 rows" in refused(b"No,Height\n" + b"1,2\n" * 1_000_000, "big.csv")
    book = Workbook(write_only=True)
    page = book.create_sheet()
    for n in range(limits.MOST_ROWS + 2):
        page.append([n])
    assert "more than 50,000 rows" in refused(saved(book))


def test_empty_rows_at_the_end_end_the_sheet_and_are_told() -> None:
    row = b'<row r="%d"><c r="A%d" t="inlineStr"><is><t>%s</t></is></c></row>'
    rows = [row % (1, 1, b"No"), row % (2, 2, b"7"), b'<row r="1048576"/>']
    space = b"http://schemas.openxmlformats.org/spreadsheetml/2006/main"
    content = b'<worksheet xmlns="%s"><sheetData>%s</sheetData></worksheet>'
    octets = with_part(workbook([HEAD]), SHEET, content % (space, b"".join(rows)))
    table = read(octets, "stones.xlsx")
    assert [row.number for row in table.rows] == [1, 2]
    assert table.notes == ["After row 2 come 5,000 empty rows: reading stopped there."]


def test_a_sheet_that_is_too_wide_or_too_large_is_refused() -> None:
    assert "more than 100 columns" in refused(b"a," * 150 + b"b\n")
    assert "more than 100 columns" in refused(workbook([["x"] * 150]))
    assert "larger than 10 MB" in refused(b"1,2\n" * (3 * 1024 * 1024))


def test_a_wrong_end_of_the_name_is_told_and_the_content_read() -> None:
    assert "content is an XLSX file" in read(workbook([HEAD, [1, "a", 2]]), "stones.csv").notes[0]
    assert "content is plain text" in read(b"No,Height\n1,2\n", "stones.xlsx").notes[0]
    assert read(b"No,Height\n1,2\n", "stones.CSV").notes == []


def test_a_formula_gives_its_value_and_one_without_is_a_flaw() -> None:
    octets = without_value(workbook([HEAD, [1, "a", "=1+1"], [2, "b", 3]]), "C2")
    table = read(octets)
    assert isinstance(table.rows[1].cells[2], Flaw)
    assert table.rows[2].cells == (2, "b", 3)


def test_numbers_keep_the_zeros_that_their_format_shows() -> None:
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["No", "Height"])
    page.append([7, 100])
    page["A2"].number_format = "000"
    page["B2"].number_format = numbers.FORMAT_NUMBER
    assert read(saved(book)).rows[1].cells == ("007", 100)


def test_the_first_page_with_a_table_is_read_or_the_one_asked_for() -> None:
    octets = workbook([["Only a title"]], Stones=[HEAD, [1, "a", 2]], More=[HEAD, [3, "a", 2]])
    assert read(octets).sheet == "Stones"
    assert read(octets, sheet="More").rows[1].cells[0] == 3
    assert read(octets).sheets == ("Sheet", "Stones", "More")


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=600))
@example(b"PK\x03\x04")
@example(b'"')
@example(b"\xff\xfe\x00")
def test_no_octets_raise_anything_but_a_refusal(octets: bytes) -> None:
    assert answer(octets).endswith(".")


@settings(max_examples=120, deadline=None)
@given(st.data())
def test_no_damage_to_a_workbook_raises_anything_but_a_refusal(data: st.DataObject) -> None:
    octets = bytearray(WHOLE)
    for _ in range(data.draw(st.integers(1, 8))):
        octets[data.draw(st.integers(4, len(WHOLE) - 1))] = data.draw(st.integers(0, 255))
    assert answer(bytes(octets)).endswith(".")


@settings(max_examples=80, deadline=None)
@given(st.sampled_from(["xl/workbook.xml", SHEET, "xl/styles.xml"]), st.data())
def test_no_odd_part_of_a_workbook_raises_anything_but_a_refusal(
    name: str, data: st.DataObject
) -> None:
    with zipfile.ZipFile(io.BytesIO(WHOLE)) as parts:
        content = parts.read(name)
    at = data.draw(st.integers(0, len(content)))
    junk = data.draw(st.sampled_from([b"", b"<c/>", b"<v>x</v>", b"1e999", b'r="ZZZ0"', b"\xff"]))
    cut = data.draw(st.integers(0, 30))
    assert answer(with_part(WHOLE, name, content[:at] + junk + content[at + cut :])).endswith(".")


def test_a_sheet_that_people_see_comes_before_a_hidden_one() -> None:
    book = load_workbook(io.BytesIO(workbook([HEAD, ["old"]], Shown=[HEAD, ["new", "a", 1]])))
    book.worksheets[0].sheet_state = "hidden"
    table = read(saved(book))
    assert (table.sheet, table.rows[1].cells[0]) == ("Shown", "new")
    assert read(saved(book), sheet=table.sheets[0]).rows[1].cells[0] == "old"


@pytest.mark.parametrize("end", ["", "\n", "\r\n"])
def test_a_quotation_mark_that_is_never_closed_swallows_no_rows(end: str) -> None:
    octets = f'No,Name\nA1,"24\nA2,Ann\nA3,Ben{end}'.encode()
    assert "breaks off in row 2: a quotation mark is opened" in refused(octets)
    closed = read(f'No,Name\nA1,"24"\nA2,"Ann\nBea"{end}'.encode())
    assert [row.cells for row in closed.rows[1:]] == [("A1", "24"), ("A2", "Ann\nBea")]
