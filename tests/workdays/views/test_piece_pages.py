"""Pages of loose pieces: noted on a phone, beside their likely homes, judged with care."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from tests.workdays import picture_files as files
from workdays.actions.pieces import judge_fit
from workdays.models import FitJudgement, LoosePiece, Membership, Stone, Survey
from workdays.queries.history import stone_history

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
NOW = factories.NOW
TYPED = {
    "tag": "L1",
    "place": "behind the wall",
    "thickness_cm": "3 in",
    "material": "marble",
    "letters": "KAN",
    "found_on": "2026-05-04",
}


@pytest.fixture(autouse=True)
def store(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def grace(stone: Stone, client: Client) -> Person:
    """Log a supervisor of the cemetery in: whoever may survey may log and judge."""
    person = factories.make_staff(Membership.Role.SUPERVISOR, stone.cemetery, name="Grace Example")
    log_in(client, person)
    return person


@pytest.fixture
def stone() -> Stone:
    """Give a broken stone of 8 cm marble that says M. KANE."""
    made = factories.make_stone(number="A1", name_on_stone="M. Kane", east_m=10, north_m=10)
    Survey.objects.create(stone=made, on=date(2026, 5, 1), signs=["broken_through"])
    return made


@pytest.fixture
def piece(stone: Stone, grace: Person) -> LoosePiece:
    return factories.make_piece(stone.cemetery, tag="L1", letters="KAN", section=stone.section)


def send(client: Client, stone: Stone, **typed: Any) -> Any:
    address = reverse("piece_new", args=[stone.cemetery.slug])
    return client.post(address, TYPED | typed, follow=True)


def judge(client: Client, piece: LoosePiece, stone: object, **said: str) -> str:
    number = str(stone.pk) if isinstance(stone, Stone) else str(stone)
    address = reverse("piece_judge", args=[piece.pk])
    answer = client.post(address, {"stone": number, **said}, follow=True)
    assert answer.status_code == 200
    return answer.content.decode()


def upload(content: bytes | None = None) -> SimpleUploadedFile:
    return SimpleUploadedFile("piece.jpg", content or files.jpeg(), "image/jpeg")


def test_a_piece_is_noted_in_inches_with_a_picture_and_shown_beside_its_likely_home(
    client: Client, stone: Stone, grace: Person
) -> None:
    page = send(client, stone, section=stone.section_id, pictures=upload()).content.decode()
    piece = LoosePiece.objects.get()
    assert (piece.thickness_cm, piece.found_by) == (7.6, grace)
    assert piece.photographs.count() == 1
    assert "Piece L1 may belong to stone A1" in page
    assert "The piece is 7.6 cm thick, the stone 8 cm: within 1 cm." in page
    assert "“KAN” can stand in “M. Kane”: 3 letters agree." in page
    assert "It lay in the same section." in page
    assert "no trying it on the stone" in page


def test_the_form_comes_filled_in_from_the_stone_it_was_opened_at(
    client: Client, stone: Stone, grace: Person
) -> None:
    page = client.get(stone.get_absolute_url()).content.decode()
    address = f"{reverse('piece_new', args=[stone.cemetery.slug])}?near=A1"
    assert f'href="{address}"' in page
    assert "A part of it is missing, or may be." in page
    form = client.get(address).content.decode()
    assert 'value="beside stone A1"' in form
    assert f'<option value="{stone.section_id}" selected>' in form
    assert 'value="L1"' in form
    assert 'value="10.0"' in form
    assert client.get(address.replace("A1", "%00")).status_code == 200


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"thickness_cm": "40 m"}, "from 0.5 to 120 cm. 4000 cm would be 40 m."),
        ({"thickness_cm": "9" * 30}, "longer than any stone"),
        ({"thickness_cm": "-3"}, "A length is not below zero."),
        ({"thickness_cm": "thick"}, "is no length"),
        ({"tag": ""}, "This field is required."),
        ({"tag": "\x00"}, "This field is required."),
        ({"tag": "L" * 41}, "at most 40 characters"),
        ({"place": ""}, "This field is required."),
        ({"letters": "KA[N"}, "Each [ needs its ]"),
        ({"found_on": "2026-05-07"}, "this day is to come"),
        ({"found_on": "1650-01-01"}, "Give a year from 1900 to 2200."),
        ({"found_on": "soon"}, "Write the date like"),
        ({"section": "9" * 30}, "Select a valid choice"),
        ({"section": "\x00"}, "Null characters are not allowed."),
        ({"material": "cheese"}, "Select a valid choice"),
        ({"east_m": "3"}, "Give both halves of the place"),
        ({"east_m": "nan", "north_m": "1"}, "Give metres as a number"),
    ],
)
def test_nonsense_gets_a_sentence_and_loses_nothing(
    client: Client, stone: Stone, grace: Person, typed: dict[str, str], sentence: str
) -> None:
    answer = send(client, stone, **{"edges": "left finished", **typed})
    assert answer.status_code == 200
    page = answer.content.decode()
    assert sentence in page
    assert 'value="left finished"' in page
    assert not LoosePiece.objects.exists()


def test_a_tag_that_is_borne_and_a_picture_that_is_none_get_a_sentence(
    client: Client, stone: Stone, piece: LoosePiece, store: Path
) -> None:
    page = send(client, stone, tag="l1", pictures=upload()).content.decode()
    assert "There is already a piece l1 here. L2 is free." in page
    assert "Choose the pictures again as well" in page
    assert (
        "not a JPEG, PNG or WebP picture"
        in send(client, stone, tag="L2", pictures=upload(files.a_zip())).content.decode()
    )
    assert LoosePiece.objects.count() == 1
    assert [path for path in store.rglob("*") if path.is_file()] == []


def test_a_nul_in_words_is_left_out(client: Client, stone: Stone, grace: Person) -> None:
    send(client, stone, place="behind\x00 the wall", notes="a\x00b")
    made = LoosePiece.objects.get()
    assert (made.place, made.notes) == ("behind the wall", "ab")


def test_a_piece_is_changed_and_keeps_its_fine_measure(client: Client, piece: LoosePiece) -> None:
    address = reverse("piece_edit", args=[piece.pk])
    assert 'value="7.5"' in client.get(address).content.decode()
    typed: dict[str, Any] = TYPED | {
        "thickness_cm": "7.5",
        "letters": "KANE",
        "section": piece.section_id,
    }
    typed |= {"pictures": upload()}
    page = client.post(address, typed, follow=True).content.decode()
    assert "Grace Example changed place" not in page
    assert "Grace Example changed letters" in page
    piece.refresh_from_db()
    assert (piece.thickness_cm, piece.letters) == (7.5, "KANE")
    assert piece.photographs.count() == 1


def test_a_confirmed_fit_shows_on_both_pages_and_in_the_printed_history(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    assert "may belong here" in client.get(stone.get_absolute_url()).content.decode()
    page = judge(client, piece, stone, fits="yes", why="The break runs on.")
    assert "Piece L1 belongs to stone A1" in page
    assert "Grace Example confirmed that it belongs to stone A1: The break runs on." in page
    assert "The history of stone A1" in page
    of_stone = client.get(stone.get_absolute_url()).content.decode()
    assert "belongs here" in of_stone
    assert "may belong here" not in of_stone
    paper = client.get(reverse("stone_history", args=[stone.pk])).content.decode()
    assert "Loose piece L1 found" in paper
    assert "Grace Example said that loose piece L1 belongs here" in paper


def test_a_refused_fit_is_not_proposed_again_on_either_page(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    page = judge(client, piece, stone, fits="no")
    assert "Say why not" in page
    page = judge(client, piece, stone, fits="no", why="too thin")
    assert "Piece L1: no home is known yet" in page
    assert "that it does not belong there: too thin." in page
    assert "may belong here" not in client.get(stone.get_absolute_url()).content.decode()
    listed = client.get(reverse("pieces", args=[stone.cemetery.slug])).content.decode()
    assert "no likely home yet" in listed


def test_what_was_typed_beside_a_refused_button_stays(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    page = judge(client, piece, stone, why="the edge is worn")
    assert "Press one of the two buttons." in page
    assert 'value="the edge is worn"' in page


@pytest.mark.parametrize("number", ["", "x", "\x00", "9" * 30, "-1", "0"])
def test_a_stone_that_is_not_there_gets_a_sentence(
    client: Client, piece: LoosePiece, number: str
) -> None:
    page = judge(client, piece, number, fits="yes")
    said = ("There is no such stone at", "This field is required.", "Null characters are not")
    assert any(sentence in page for sentence in said)
    assert not FitJudgement.objects.exists()


def test_a_stone_of_another_cemetery_is_not_told_from_one_that_is_not_there(
    client: Client, piece: LoosePiece
) -> None:
    other = factories.make_stone(number="SECRET9")
    page = judge(client, piece, other, fits="yes")
    assert "There is no such stone at" in page
    assert "SECRET9" not in page
    page = client.get(f"{reverse('piece', args=[piece.pk])}?stone=SECRET9").content.decode()
    assert "There is no stone SECRET9 at" in page


def test_a_second_press_and_a_press_after_a_refusal_get_a_sentence(
    client: Client, piece: LoosePiece, stone: Stone, grace: Person
) -> None:
    other = factories.make_stone(stone.section, number="B2")
    judge(client, piece, other, fits="no", why="too wide")
    assert "Take that word back first" in judge(client, piece, other, fits="yes")
    judge(client, piece, stone, fits="yes")
    assert "Nothing is left to say." in judge(client, piece, stone, fits="yes")
    third = factories.make_stone(stone.section, number="C3")
    assert "It is placed at stone A1." in judge(client, piece, third, fits="yes")


def test_another_stone_is_looked_up_and_confirmed_though_the_rules_did_not_propose_it(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    whole = factories.make_stone(stone.section, number="B2", thickness_cm=20)
    page = client.get(f"{reverse('piece', args=[piece.pk])}?stone=b2").content.decode()
    assert "nothing of it is missing" in page
    assert "more than 2 cm apart" in page
    assert "Piece L1 belongs to stone B2" in judge(client, piece, whole, fits="yes")


def test_a_word_is_taken_back_with_a_reason_that_stays(
    client: Client, piece: LoosePiece, stone: Stone, grace: Person
) -> None:
    judge_fit(piece, stone, fits=True, why="", by=grace, now=NOW)
    address = reverse("piece_take_back", args=[FitJudgement.objects.get().pk])
    page = client.get(address).content.decode()
    assert "Does piece L1 not belong to stone A1 after all?" in page
    assert "Say why" in client.post(address, {"why": "\x00"}).content.decode()
    page = client.post(address, {"why": "It was B2."}, follow=True).content.decode()
    assert "took back that it belongs to stone A1: It was B2." in page
    assert "may belong to stone A1" not in page
    page = client.post(address, {"why": "I was wrong."}, follow=True).content.decode()
    assert "took back that it does not belong to stone A1: I was wrong." in page
    assert "Piece L1 may belong to stone A1" in page
    assert client.post(address, {"why": "Again."}).status_code == 404


def test_the_list_shows_those_without_a_home_first_and_finds_by_words(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    address = reverse("pieces", args=[stone.cemetery.slug])
    placed = factories.make_piece(
        stone.cemetery, tag="L9", stone=stone, found_on=date(2026, 5, 6), letters="ZZZ"
    )
    page = client.get(address).content.decode()
    assert "1 loose piece waits for a home and 1 is placed" in page
    assert page.index(">L1<") < page.index(f">{placed.tag}<")
    assert ">L1<" not in client.get(f"{address}?state=placed").content.decode()
    assert ">L9<" not in client.get(f"{address}?state=open").content.decode()
    assert ">L1<" not in client.get(f"{address}?words=zzz").content.decode()
    assert "No piece is like that." in client.get(f"{address}?words=nothing").content.decode()
    odd = client.get(f"{address}?state=%00&words=%00&page=-7")
    assert ">L1<" in odd.content.decode()


def test_a_picture_of_a_piece_leads_back_to_it(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    ruth = factories.make_staff()
    log_in(client, ruth)
    client.post(reverse("piece_edit", args=[piece.pk]), TYPED | {"pictures": upload()})
    address = reverse("photograph_remove", args=[piece.photographs.get().pk])
    answer = client.post(address, {"reason": "blurred"})
    assert answer["Location"] == reverse("piece", args=[piece.pk])


def test_a_record_asks_as_often_for_many_pieces_as_for_few(
    piece: LoosePiece, stone: Stone, grace: Person
) -> None:
    def asked() -> int:
        with CaptureQueriesContext(connection) as seen:
            events = stone_history(stone).events
        assert sum(event.what == "piece" for event in events) == 2 * stone.loose_pieces.count()
        return len(seen)

    def placed(tag: str) -> None:
        made = factories.make_piece(stone.cemetery, tag=tag)
        judge_fit(made, stone, fits=True, why="", by=grace, now=NOW)

    placed("L2")
    few = asked()
    for tag in ("L3", "L4", "L5"):
        placed(tag)
    assert asked() == few


def test_a_piece_with_many_homes_asks_as_often_as_with_few(
    client: Client, piece: LoosePiece, stone: Stone
) -> None:
    def asked() -> tuple[int, int]:
        with CaptureQueriesContext(connection) as seen:
            page = client.get(reverse("piece", args=[piece.pk])).content.decode()
        return len(seen), page.count("It belongs here")

    def another() -> None:
        made = factories.make_stone(stone.section)
        Survey.objects.create(stone=made, on=date(2026, 5, 1), signs=["loose_pieces"])

    another()
    few, homes = asked()
    for _ in range(3):
        another()
    assert (homes, asked()) == (2, (few, 5))


def test_a_whole_stone_offers_the_button_only(client: Client, stone: Stone, grace: Person) -> None:
    Survey.objects.create(stone=stone, on=date(2026, 5, 2), signs=[])
    page = client.get(stone.get_absolute_url()).content.decode()
    assert "A part of it is missing" not in page
    assert "A loose piece lies here" in page
