"""Forms of the ground: absurd numbers, half places, papers that are none."""

from io import BytesIO
from typing import Any
from zlib import crc32

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from tests import factories
from workdays.forms.backlog import JobForm
from workdays.forms.ground import CemeteryForm, SectionForm, corners_in_lines
from workdays.forms.leave import SettingForm
from workdays.forms.measures import DayField, MetresField, WholeField
from workdays.forms.papers import MOST_BYTES, PaperField
from workdays.forms.stones import StoneForm
from workdays.models import Cemetery
from workdays.rules.settings import SETTINGS

PDF_BODY = b"%PDF-1.4\n1 0 obj<<>>endobj\nxref\n0 1\ntrailer<<>>\n"
PDF = PDF_BODY + b"startxref\n26\n%%EOF\n"


def picture(kind: str, width: int = 8, height: int = 8) -> bytes:
    """Return a real picture; one of one colour takes few bytes whatever its size."""
    octets = BytesIO()
    Image.new("1" if kind == "PNG" else "L", (width, height)).save(octets, kind)
    return octets.getvalue()


PNG, JPEG = picture("PNG"), picture("JPEG")
SVG = b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>'
ZIP = b"PK\x03\x04" + b"\0" * 60


@pytest.mark.parametrize("typed", ["4000", "0", "-1", "9" * 50])
def test_an_absurd_measure_is_answered_with_its_bounds(typed: str) -> None:
    with pytest.raises(ValidationError) as refused:
        WholeField("Height", 1, 1500, "cm").clean(typed)
    assert "Give a number from 1 to 1500 cm." in refused.value.messages[0]


def test_forty_metres_are_named_as_such() -> None:
    with pytest.raises(ValidationError, match=r"4000 cm would be 40 m\."):
        WholeField("Height", 1, 1500, "cm").clean("4000")


@pytest.mark.parametrize(
    "typed", ["1e309", "NaN", "inf", "3.5", "٣٠٠٠٠", "<b>", "9" * 5000, "\x00"]
)
def test_what_is_no_whole_number_is_refused(typed: str) -> None:
    with pytest.raises(ValidationError):
        WholeField("Row", 0, 500).clean(typed)


@pytest.mark.parametrize("typed", ["nan", "inf", "-1e308", "5001"])
def test_metres_end_somewhere(typed: str) -> None:
    with pytest.raises(ValidationError):
        MetresField("East").clean(typed)


@pytest.mark.parametrize("typed", ["9999-12-31", "0001-01-01", "soon", "2026-02-30"])
def test_days_that_no_paper_bears_are_refused(typed: str) -> None:
    with pytest.raises(ValidationError):
        DayField("Day").clean(typed)


@pytest.mark.parametrize(("content", "ending"), [(PDF, "pdf"), (PNG, "png"), (JPEG, "jpg")])
def test_a_paper_is_known_by_its_content_and_loses_its_name(content: bytes, ending: str) -> None:
    kept = PaperField().clean(SimpleUploadedFile("ruth okafor.exe", content))
    assert kept.name.endswith(f".{ending}")
    assert "ruth" not in kept.name
    assert kept.read() == content


@pytest.mark.parametrize(
    "content",
    [
        b"<script>alert(1)</script>",
        b"The township allows it.",
        SVG,
        ZIP,
        b"MZ" + b"\0" * 50,
        b"%",
        PDF[:20],
        PDF_BODY + b"%%EOF",
        PDF_BODY + b"startxref\n9999\n%%EOF",
        b"%PDF-1.4\nstartxref\n2\n%%EOF",
        b"%PDF-<script>" + PDF,
        b"GIF89a" + PDF,
        PNG[: len(PNG) // 2],
        JPEG[: len(JPEG) // 2],
        PNG[:16] + b"\0" * 60,
        b"\xff\xd8\xff\xe0" + b"\0" * 20 + b"\xff\xd9",
        b"\x89PNG\r\n\x1a\n" + b"\0" * 20 + b"IEND\xaeB`\x82",
    ],
)
def test_what_only_calls_itself_a_paper_is_refused(content: bytes) -> None:
    with pytest.raises(ValidationError, match="not a whole PDF"):
        PaperField().clean(SimpleUploadedFile("letter.pdf", content, "application/pdf"))


@pytest.mark.parametrize("side", [6400, 12_000, 30_000])
def test_a_picture_that_swells_when_it_is_opened_is_refused_unopened(side: int) -> None:
    # The header alone claims the size: whoever decoded it would find it cut off.
    png = bytearray(PNG)
    png[16:24] = side.to_bytes(4) * 2
    png[29:33] = crc32(png[12:29]).to_bytes(4)
    with pytest.raises(ValidationError, match="more than 40 million pixels"):
        PaperField().clean(SimpleUploadedFile("scan.png", bytes(png), "image/png"))


def test_a_letter_scanned_finely_is_taken() -> None:
    fine = picture("PNG", 5100, 6600)
    assert PaperField().clean(SimpleUploadedFile("scan.png", fine)).size == len(fine)


def test_a_paper_has_at_most_ten_megabytes() -> None:
    tail = PDF[len(PDF_BODY) :]
    fits = PDF_BODY + b" " * (MOST_BYTES - len(PDF)) + tail
    assert PaperField().clean(SimpleUploadedFile("a.pdf", fits)).size == MOST_BYTES
    with pytest.raises(ValidationError, match="larger than 10 MB"):
        PaperField().clean(SimpleUploadedFile("a.pdf", PDF_BODY + b" " * MOST_BYTES + tail))


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.key)
def test_every_setting_has_a_field_of_its_kind(setting: Any) -> None:
    yes_or_no = isinstance(setting.default, bool)
    word = ("yes" if setting.default else "no") if yes_or_no else setting.default
    form = SettingForm({"value": word, "source": "a paper of the owner"}, setting=setting)
    assert form.is_valid(), form.errors
    assert form.cleaned_data["value"] == setting.default
    assert isinstance(form.cleaned_data["value"], bool) == isinstance(setting.default, bool)


@pytest.mark.parametrize(
    "typed", ["1 2\n3 4", "a b\nc d\ne f", "1\n2\n3", "nan nan\n1 2\n3 4", "9999 1\n1 2\n2 3"]
)
def test_corners_that_are_none_get_a_sentence(typed: str) -> None:
    form = SectionForm({"name": "Old hill", "outline": typed}, submit="Keep")
    assert "outline" in form.errors


def test_corners_come_back_as_they_were_typed() -> None:
    form = SectionForm({"name": "Old hill", "outline": "0 0\n12.5 0\n12.5, -40"}, submit="Keep")
    assert form.is_valid(), form.errors
    assert form.cleaned_data["outline"] == [[0, 0], [12.5, 0], [12.5, -40]]
    assert corners_in_lines(form.cleaned_data["outline"]) == "0 0\n12.5 0\n12.5 -40"


def test_half_a_place_is_asked_to_be_whole() -> None:
    form = CemeteryForm({"latitude": "42.28081"}, submit="Keep")
    assert form.errors["longitude"] == ["Give both halves of the place, or neither."]


@pytest.fixture
def place(db: None) -> Cemetery:
    return factories.make_cemetery()


def stone_typed(place: Cemetery, **overrides: Any) -> dict[str, Any]:
    typed = {
        "section": factories.make_section(place).pk,
        "number": "A1",
        "type": "tablet",
        "material": "marble",
        "pieces": "1",
        "certainty": "unknown",
    }
    return typed | overrides


def test_a_number_that_is_taken_is_named_beside_the_field(place: Cemetery) -> None:
    stone = factories.make_stone(factories.make_section(place), number="a1")
    form = StoneForm(stone_typed(place), cemetery=place, submit="Keep")
    assert form.errors["number"] == [f"{place} already has a stone A1."]
    own = StoneForm(stone_typed(place), cemetery=place, stone=stone, submit="Keep")
    assert own.is_valid(), own.errors


def test_a_stone_lies_in_a_section_of_its_own_cemetery(place: Cemetery) -> None:
    elsewhere = factories.make_section().pk
    form = StoneForm(stone_typed(place, section=elsewhere), cemetery=place, submit="Keep")
    assert "section" in form.errors


def test_a_job_names_a_stone_that_is_there(place: Cemetery) -> None:
    typed = {"kind": factories.kind("cleaning").pk, "stone": "Z99"}
    form = JobForm(typed, cemetery=place, submit="Keep")
    assert form.errors["stone"] == [f"{place} has no stone Z99."]


def test_a_job_finds_its_stone_in_small_letters_too(place: Cemetery) -> None:
    stone = factories.make_stone(factories.make_section(place), number="A7")
    typed = {"kind": factories.kind("cleaning").pk, "stone": "a7"}
    form = JobForm(typed, cemetery=place, submit="Keep")
    form.is_valid()
    assert form.cleaned_data["stone"] == stone
