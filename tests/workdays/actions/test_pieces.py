"""Loose pieces are noted once, judged once, and everything that was said of them stays."""

from collections.abc import Callable
from datetime import date
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from tests.workdays import picture_files as files
from workdays.actions.pieces import PicturesOfPiece, change_piece, judge_fit, log_piece, take_back
from workdays.models import FitJudgement, LoosePiece, Stone
from workdays.pictures import Picture, reduced

pytestmark = pytest.mark.django_db
NOW = factories.NOW
ON = date(2026, 5, 4)
VALUES: dict[str, Any] = {"tag": "L1", "found_on": ON, "place": "behind the wall", "letters": "KAN"}
NONE = PicturesOfPiece()


@pytest.fixture(autouse=True)
def store(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def ruth() -> Person:
    return factories.make_staff(name="Ruth Example")


@pytest.fixture
def stone() -> Stone:
    return factories.make_stone(number="A1")


@pytest.fixture
def piece(stone: Stone, ruth: Person) -> LoosePiece:
    return log_piece(stone.cemetery, VALUES, NONE, by=ruth, now=NOW)


Judge = Callable[..., None]


@pytest.fixture
def judge(piece: LoosePiece, stone: Stone, ruth: Person) -> Judge:
    def said(*, fits: bool, why: str = "", at: Stone = stone, of: LoosePiece = piece) -> None:
        judge_fit(of, at, fits=fits, why=why, by=ruth, now=NOW)

    return said


def codes(refused: pytest.ExceptionInfo[Refused]) -> list[str]:
    return [refusal.code for refusal in refused.value.refusals]


def picture() -> Picture:
    return reduced(BytesIO(files.jpeg(800, 600)))


def told(thing: LoosePiece | Stone) -> list[str]:
    rows = AuditEntry.objects.filter(thing_type=thing._meta.model_name, thing_id=str(thing.pk))
    return list(rows.order_by("pk").values_list("verb", flat=True))


def test_a_piece_is_noted_with_its_pictures_and_who_found_it(stone: Stone, ruth: Person) -> None:
    pictures = PicturesOfPiece([picture(), picture()])
    made = log_piece(stone.cemetery, VALUES, pictures, by=ruth, now=NOW)
    assert (made.tag, made.found_by, made.stone) == ("L1", ruth, None)
    assert made.photographs.count() == 2
    assert AuditEntry.objects.get(thing_type="loosepiece").detail["letters"] == "KAN"


def test_a_tag_twice_is_refused_and_its_pictures_leave_no_file(
    piece: LoosePiece, ruth: Person, store: Path
) -> None:
    with pytest.raises(Refused) as refused:
        log_piece(
            piece.cemetery,
            VALUES | {"tag": "l1"},
            PicturesOfPiece([picture()]),
            by=ruth,
            now=NOW,
        )
    assert codes(refused) == ["taken"]
    assert [path for path in store.rglob("*") if path.is_file()] == []
    elsewhere = factories.make_cemetery()
    assert log_piece(elsewhere, VALUES, NONE, by=ruth, now=NOW).tag == "L1"


def test_a_day_to_come_and_a_section_of_another_cemetery_are_refused(
    stone: Stone, ruth: Person
) -> None:
    values = VALUES | {"found_on": date(2026, 5, 7), "section": factories.make_section()}
    with pytest.raises(Refused) as refused:
        log_piece(stone.cemetery, values, NONE, by=ruth, now=NOW)
    assert codes(refused) == ["future", "elsewhere"]
    assert not LoosePiece.objects.exists()


def test_a_change_keeps_what_was_before(piece: LoosePiece, ruth: Person) -> None:
    change_piece(
        piece, VALUES | {"thickness_cm": 7.5}, PicturesOfPiece([picture()]), by=ruth, now=NOW
    )
    assert AuditEntry.objects.get(verb="changed").detail == {"thickness_cm": [None, 7.5]}
    assert piece.photographs.count() == 1
    log_piece(piece.cemetery, VALUES | {"tag": "L2"}, NONE, by=ruth, now=NOW)
    with pytest.raises(Refused) as refused:
        change_piece(piece, VALUES | {"tag": "L2"}, NONE, by=ruth, now=NOW)
    assert codes(refused) == ["taken"]


def test_a_confirmed_fit_joins_both_histories(
    piece: LoosePiece, stone: Stone, judge: Judge
) -> None:
    judge(fits=True, why="The break runs on.")
    piece.refresh_from_db()
    assert piece.stone == stone
    assert told(piece) == ["added", "placed"]
    assert told(stone) == ["placed"]
    detail = AuditEntry.objects.get(verb="placed", thing_type="stone").detail
    assert detail == {"piece": piece.pk, "tag": "L1", "why": "The break runs on."}


def test_a_second_word_on_a_pair_is_answered_with_the_first(judge: Judge) -> None:
    judge(fits=True)
    with pytest.raises(Refused) as again:
        judge(fits=True)
    with pytest.raises(Refused) as otherwise:
        judge(fits=False, why="too thin")
    assert codes(again) == ["said"]
    assert codes(otherwise) == ["said-otherwise"]
    sentence = otherwise.value.refusals[0].sentence
    assert sentence.startswith("Ruth Example said on 6 May 2026 that it belongs there.")
    assert FitJudgement.objects.count() == 1


def test_a_refused_fit_needs_a_reason_and_is_not_confirmed_afterwards(
    piece: LoosePiece, judge: Judge
) -> None:
    with pytest.raises(Refused) as without:
        judge(fits=False)
    judge(fits=False, why="too thin")
    with pytest.raises(Refused) as after:
        judge(fits=True)
    assert (codes(without), codes(after)) == (["no-why"], ["said-otherwise"])
    piece.refresh_from_db()
    assert piece.stone is None


def test_a_placed_piece_has_one_home(piece: LoosePiece, stone: Stone, judge: Judge) -> None:
    other = factories.make_stone(stone.section)
    judge(fits=True)
    with pytest.raises(Refused) as refused:
        judge(fits=True, at=other)
    assert codes(refused) == ["placed"]
    judge(fits=False, why="too thin", at=other)


def test_a_stone_of_another_cemetery_is_no_home(judge: Judge) -> None:
    with pytest.raises(Refused) as refused:
        judge(fits=True, at=factories.make_stone())
    assert codes(refused) == ["elsewhere"]
    assert not FitJudgement.objects.exists()


def test_a_confirmation_taken_back_stays_as_a_refusal_with_its_reason(
    piece: LoosePiece, stone: Stone, judge: Judge, ruth: Person
) -> None:
    judge(fits=True)
    word = FitJudgement.objects.get()
    with pytest.raises(Refused) as without:
        take_back(word, why="", by=ruth, now=NOW)
    assert codes(without) == ["no-why"]
    take_back(word, why="It was the next stone.", by=ruth, now=NOW)
    piece.refresh_from_db()
    assert piece.stone is None
    said = FitJudgement.objects.get()
    assert (said.fits, said.why) == (False, "It was the next stone.")
    assert told(piece)[1:] == told(stone) == ["placed", "parted"]


def test_a_refusal_taken_back_lets_the_pair_be_judged_anew(
    piece: LoosePiece, judge: Judge, ruth: Person
) -> None:
    judge(fits=False, why="too thin")
    word = FitJudgement.objects.get()
    take_back(word, why="I measured the wrong edge.", by=ruth, now=NOW)
    assert not FitJudgement.objects.exists()
    with pytest.raises(Refused) as twice:
        take_back(word, why="I measured the wrong edge.", by=ruth, now=NOW)
    assert codes(twice) == ["gone"]
    judge(fits=True)
    piece.refresh_from_db()
    assert piece.stone is not None
    assert told(piece) == ["added", "refused", "reopened", "placed"]


def test_of_two_people_who_take_back_the_same_word_one_is_told(judge: Judge, ruth: Person) -> None:
    judge(fits=True)
    mine, theirs = FitJudgement.objects.get(), FitJudgement.objects.get()
    take_back(mine, why="too thin", by=ruth, now=NOW)
    with pytest.raises(Refused) as refused:
        take_back(theirs, why="too wide", by=ruth, now=NOW)
    assert codes(refused) == ["gone"]
