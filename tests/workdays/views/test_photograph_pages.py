"""Pages of pictures: several at once, pairs, who may see a file, and what a bad file gets."""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.http import FileResponse
from django.test import Client
from django.urls import reverse
from PIL import Image

from coordinator.models import Person
from tests import factories
from tests.pages import log_in
from tests.workdays import picture_files as files
from workdays.models import Membership, Photograph, Stone, Survey

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
TAKEN = {"moment": "before", "taken_on": "2026-05-06", "caption": "from the east"}


@pytest.fixture(autouse=True)
def store(settings: Any, tmp_path: Path) -> Path:
    settings.MEDIA_ROOT = tmp_path
    return tmp_path


@pytest.fixture
def ruth(client: Client) -> Person:
    person = factories.make_staff()
    log_in(client, person)
    return person


@pytest.fixture
def stone(ruth: Person) -> Stone:
    return factories.make_stone(number="A1")


def upload(content: bytes | None = None, name: str = "grave of ruth.JPG") -> SimpleUploadedFile:
    return SimpleUploadedFile(name, content or files.talkative_jpeg(), "image/jpeg")


def send(client: Client, stone: Stone, *uploads: Any, **typed: str) -> Any:
    address = reverse("stone_photographs", args=[stone.pk])
    return client.post(address, {**TAKEN, "pictures": list(uploads), **typed}, follow=True)


def content(answer: Any) -> bytes:
    assert isinstance(answer, FileResponse)
    return b"".join(iter_bytes(answer))


def iter_bytes(answer: FileResponse) -> Iterator[bytes]:
    for part in answer.streaming_content:  # type: ignore[union-attr]  # a file is not async
        yield bytes(part)


def test_several_pictures_are_kept_at_once_and_shown_in_order(client: Client, stone: Stone) -> None:
    page = send(client, stone, upload(), upload()).content.decode()
    assert "Stone A1: 2 pictures" in page
    assert "2 pictures are kept." in page
    assert page.index("Picture 1, 6 May 2026, before work: from the east") < page.index("Picture 2")
    assert "ruth" not in page
    assert {row.moment for row in stone.photographs.all()} == {"before"}


def test_a_file_of_each_size_is_given_without_what_the_camera_wrote(
    client: Client, stone: Stone
) -> None:
    send(client, stone, upload(files.jpeg(3000, 2000, exif=files.exif())))
    row = stone.photographs.get()
    for size, width in (("large", 2400), ("medium", 1000), ("small", 320)):
        answer = client.get(reverse("photograph", args=[row.pk, size]))
        assert answer["Content-Type"] == "image/jpeg"
        assert answer["X-Content-Type-Options"] == "nosniff"
        assert answer["Cache-Control"] == "private, max-age=3600"
        assert f"photograph-{row.pk}-{size}.jpg" in answer["Content-Disposition"]
        got = content(answer)
        assert b"widow" not in got
        assert Image.open(BytesIO(got)).width == width
    answer = client.get(reverse("photograph", args=[row.pk]))
    assert Image.open(BytesIO(content(answer))).width == 2400
    assert client.get(reverse("photograph", args=[row.pk, "huge"])).status_code == 404


def test_a_picture_with_people_stays_in_no_browser(client: Client, stone: Stone) -> None:
    send(client, stone, upload(), shows_people="on")
    answer = client.get(reverse("photograph", args=[stone.photographs.get().pk, "small"]))
    assert answer["Cache-Control"] == "private, no-store"
    answer.close()


def test_a_picture_is_for_the_staff_of_its_cemetery_only(client: Client, stone: Stone) -> None:
    send(client, stone, upload())
    address = reverse("photograph", args=[stone.photographs.get().pk, "small"])
    client.logout()
    assert client.get(address).status_code == 302
    elsewhere = factories.make_staff(Membership.Role.SUPERVISOR, factories.make_cemetery())
    log_in(client, elsewhere)
    assert client.get(address).status_code == 404
    here = factories.make_staff(Membership.Role.SUPERVISOR, stone.cemetery)
    log_in(client, here)
    answer = client.get(address)
    assert answer.status_code == 200
    answer.close()


@pytest.mark.parametrize(
    ("bad", "sentence"),
    [
        (files.a_zip(), "not a JPEG, PNG or WebP picture"),
        (files.jpeg()[:-600], "cut off or damaged"),
        (files.huge_png(), "12000 by 12000 pixels"),
        (b"", "The file is empty."),
    ],
)
def test_one_bad_file_is_named_and_nothing_is_kept(
    client: Client, stone: Stone, store: Path, bad: bytes, sentence: str
) -> None:
    answer = send(client, stone, upload(), SimpleUploadedFile("wall.jpg", bad))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert "wall.jpg: " in page
    assert sentence in page
    assert 'value="from the east"' in page
    assert not stone.photographs.exists()
    assert [path for path in store.rglob("*") if path.is_file()] == []


@pytest.mark.parametrize("typed", ["2026-05-07", "1650-01-01", "soon", ""])
def test_a_day_that_cannot_be_gets_a_sentence(client: Client, stone: Stone, typed: str) -> None:
    assert send(client, stone, upload(), taken_on=typed).status_code == 200
    assert not stone.photographs.exists()


def test_no_picture_and_too_many_get_a_sentence(client: Client, stone: Stone) -> None:
    assert "This field is required." in send(client, stone).content.decode()
    small = files.jpeg(20, 20)
    page = send(client, stone, *(upload(small) for _ in range(13))).content.decode()
    assert "at most 12 pictures" in page
    assert not stone.photographs.exists()


def make_pictures(client: Client, stone: Stone) -> list[Photograph]:
    send(client, stone, upload(), taken_on="2026-04-01")
    send(client, stone, upload(), moment="after")
    return list(stone.photographs.all())


def test_two_pictures_are_paired_and_parted(client: Client, stone: Stone) -> None:
    before, after = make_pictures(client, stone)
    address = reverse("photograph_pair", args=[stone.pk])
    wrong = client.post(address, {"before": after.pk, "after": before.pk}).content.decode()
    assert "Choose them the other way round." in wrong
    page = client.post(address, {"before": before.pk, "after": after.pk}, follow=True)
    assert "2 pictures, 1 pair of before and after" in page.content.decode()
    page = client.post(reverse("photograph_unpair", args=[after.pk]), follow=True)
    assert "1 pair" not in page.content.decode()


@pytest.mark.parametrize("typed", [{}, {"before": "x", "after": "9" * 30}, {"before": "-1"}])
def test_nonsense_makes_no_pair(client: Client, stone: Stone, typed: dict[str, str]) -> None:
    make_pictures(client, stone)
    assert client.post(reverse("photograph_pair", args=[stone.pk]), typed).status_code == 200
    assert not stone.photographs.exclude(before=None).exists()


def test_a_picture_goes_with_a_reason(client: Client, stone: Stone) -> None:
    before, _after = make_pictures(client, stone)
    address = reverse("photograph_remove", args=[before.pk])
    assert "Say why the picture goes" in client.post(address).content.decode()
    page = client.post(address, {"reason": "It shows a mourner."}, follow=True).content.decode()
    assert "The picture is gone." in page
    assert stone.photographs.count() == 1


LOOK = {"sound": "solid", "lean_degrees": "0", "on": "2026-05-06"}


def look(client: Client, stone: Stone, **typed: Any) -> Any:
    return client.post(reverse("survey_new", args=[stone.pk]), LOOK | typed, follow=True)


def test_a_look_takes_its_pictures_along_and_reads_inches(client: Client, stone: Stone) -> None:
    page = look(
        client,
        stone,
        height_above_cm="2 ft 3 in",
        depth_sunk_cm='5"',
        signs=["wobble", "tight_lichen"],
        pictures=[upload(), upload()],
    ).content.decode()
    survey = stone.surveys.get()
    assert (survey.height_above_cm, survey.depth_sunk_cm) == (69, 13)
    assert [row.survey for row in stone.photographs.all()] == [survey, survey]
    assert "69 cm above ground, sunk 13 cm" in page


def test_pictures_of_a_look_that_must_be_mended_are_not_lost(client: Client, stone: Stone) -> None:
    page = look(client, stone, height_above_cm="40 m", pictures=[upload()]).content.decode()
    assert "4000 cm would be 40 m" in page
    assert 'value="40 m"' in page
    assert "1 picture is kept at the stone already" in page
    assert not stone.surveys.exists()
    kept = stone.photographs.get()
    assert f'name="kept" value="{kept.pk}"' in page
    look(client, stone, kept=str(kept.pk), pictures=[upload()])
    survey = stone.surveys.get()
    assert [row.survey for row in stone.photographs.all()] == [survey, survey]


def test_pictures_of_another_stone_or_look_are_not_taken_over(client: Client, stone: Stone) -> None:
    other = factories.make_stone(stone.section)
    send(client, other, upload())
    send(client, stone, upload())
    earlier = Survey.objects.create(stone=stone, on="2026-05-01")
    stone.photographs.update(survey=earlier)
    numbers = " ".join(str(row.pk) for row in Photograph.objects.all())
    look(client, stone, kept=f"{numbers} x -1 {'9' * 40}")
    assert other.photographs.get().survey is None
    assert stone.photographs.get().survey == earlier


def test_a_bad_picture_refuses_the_look_and_keeps_what_was_typed(
    client: Client, stone: Stone, store: Path
) -> None:
    page = look(client, stone, notes="leans on a root", pictures=[upload(files.a_zip())])
    assert "not a JPEG, PNG or WebP picture" in page.content.decode()
    assert "leans on a root" in page.content.decode()
    assert not stone.surveys.exists()
    assert [path for path in store.rglob("*") if path.is_file()] == []


def test_a_look_that_the_rules_refuse_keeps_its_pictures(client: Client, stone: Stone) -> None:
    page = look(client, stone, depth_sunk_cm="250", pictures=[upload()]).content.decode()
    assert "Sunk 250 cm, but the stone is noted as 100 cm high" in page
    assert "1 picture is kept at the stone already" in page
    assert not stone.surveys.exists()


FOUND = {"how_found": "under sod", "type": "other", "material": "unknown"}


def find(client: Client, stone: Stone, **typed: str) -> Any:
    address = reverse("stone_found", args=[stone.cemetery.slug])
    sent = FOUND | {"section": str(stone.section_id), "number": "F1"} | typed
    return client.post(address, sent)


def test_a_found_stone_is_added_beside_a_known_one_and_looked_at_next(
    client: Client, stone: Stone
) -> None:
    address = reverse("stone_found", args=[stone.cemetery.slug])
    page = client.get(address, {"near": "A1"}).content.decode()
    assert 'value="A1a"' in page
    answer = find(client, stone, number="A1a", where="two steps behind the obelisk")
    new = Stone.objects.get(number="A1a")
    assert answer["Location"] == reverse("survey_new", args=[new.pk])
    assert new.notes == ("Found under sod on Wednesday 6 May 2026.\ntwo steps behind the obelisk")


def test_a_supervisor_may_add_a_found_stone(client: Client, stone: Stone) -> None:
    here = factories.make_staff(Membership.Role.SUPERVISOR, stone.cemetery)
    log_in(client, here)
    assert find(client, stone, latitude="42.280812", longitude="-83.743").status_code == 302


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Say where it lies, or nobody finds it again"),
        ({"number": "a1", "where": "x"}, "already has a stone a1. a1a is free."),
        ({"latitude": "42"}, "Give both halves of the place"),
        ({"east_m": "9e9", "north_m": "1"}, "Give a number from -5000 to 5000 m."),
        ({"how_found": "by luck", "where": "x"}, "Select a valid choice"),
        ({"position": "-1"}, "Give a number from 0 to 2000."),
    ],
)
def test_a_found_stone_that_nobody_would_find_again_is_asked_about(
    client: Client, stone: Stone, typed: dict[str, str], sentence: str
) -> None:
    answer = find(client, stone, name_on_stone="J. Bell", **typed)
    assert answer.status_code == 200
    assert sentence in answer.content.decode()
    assert 'value="J. Bell"' in answer.content.decode()
    assert Stone.objects.count() == 1


@pytest.mark.parametrize("near", ["\x00", "no such stone", "x" * 5000, "<b>"])
def test_a_neighbour_that_is_not_there_changes_nothing(
    client: Client, stone: Stone, near: str
) -> None:
    answer = client.get(reverse("stone_found", args=[stone.cemetery.slug]), {"near": near})
    assert 'value="F1"' in answer.content.decode()
