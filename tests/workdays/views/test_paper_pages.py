"""A waiver on paper: printed, noted with its picture, shown to whom it concerns, to nobody else."""

from datetime import date
from pathlib import Path
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from coordinator.models import AuditEntry, SentMessage
from tests import factories
from tests.pages import log_in
from tests.workdays.picture_files import SECRET, exif, jpeg
from tests.workdays.records import see_that_all_is_recorded
from workdays.models import Membership, Signature, SignUp, Waiver
from workdays.queries.waivers import people_with_waiver

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def row(settings: Settings, tmp_path: Path) -> SignUp:
    settings.MEDIA_ROOT = tmp_path
    factories.make_waiver()
    return factories.make_sign_up(factories.make_day(), factories.make_person(name="Ana Costa"))


def sent(**more: Any) -> dict[str, Any]:
    on = factories.NOW.date()
    picture = SimpleUploadedFile("a.jpg", jpeg(exif=exif()), "image/jpeg")
    typed = {"signed_on": on.isoformat(), "role": "self", "name": "Ana Costa"}
    return {**typed, "waiver": Waiver.objects.earliest("pk").pk, "picture": picture} | more


def address(row: SignUp) -> str:
    return reverse("paper_note", args=[row.day_id, row.pk])


def test_a_supervisor_notes_a_paper_and_it_holds_like_any_other(
    client: Client, row: SignUp
) -> None:
    ruth = factories.make_staff(Membership.Role.SUPERVISOR, row.day.cemetery)
    log_in(client, ruth)
    assert address(row) in client.get(reverse("day_desk", args=[row.day_id])).content.decode()
    assert client.post(address(row), sent()).status_code == 302
    assert client.post(address(row), sent()).status_code == 302
    kept = Signature.objects.get()
    see_that_all_is_recorded(kept)
    assert people_with_waiver(row.day, [row.person_id])
    assert (kept.method, kept.noted_by) == ("on paper, noted by the staff", ruth)
    assert AuditEntry.objects.get(verb="noted a paper").actor == ruth
    assert "on paper" in SentMessage.objects.get(key=f"waiver-copy:{kept.pk}").text
    for path in (
        reverse("paper_picture", args=[kept.pk]),
        reverse("own_paper", args=[row.person.secret, kept.pk]),
    ):
        answer = client.get(path)
        given = answer.getvalue()
        assert answer["Content-Type"] == "image/jpeg"
        assert given[:3] == b"\xff\xd8\xff"
        assert SECRET.encode() not in given
    own = client.get(reverse("own_waiver", args=[row.person.secret, kept.pk])).content.decode()
    assert f"noted by {ruth.name}" in own
    data = client.get(reverse("own_data_file", args=[row.person.secret])).json()
    assert data["signatures"][0]["paper"] is True
    log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, factories.make_cemetery()))
    assert client.get(reverse("paper_picture", args=[kept.pk])).status_code == 404
    assert client.post(address(row), sent()).status_code == 404


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"signed_on": "2200-01-01"}, "has not come yet"),
        ({"signed_on": "1990-01-01"}, "not published yet"),
        ({"signed_on": "\0"}, "Write the date like"),
        ({"role": "guardian"}, "signs alone"),
        ({"waiver": "9" * 40}, "Select a valid choice"),
        ({"picture": SimpleUploadedFile("a.jpg", b"no picture")}, "not a JPEG"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_is_kept(
    client: Client, row: SignUp, wrong: dict[str, Any], said: str
) -> None:
    log_in(client, factories.make_staff())
    answer = client.post(address(row), sent(**wrong))
    assert answer.status_code == 422
    assert said in answer.content.decode()
    assert not Signature.objects.exists()


def test_a_minor_does_not_sign_alone_and_the_guardian_does(client: Client, row: SignUp) -> None:
    bo = factories.make_person(name="Bo Costa", is_adult=False, born_on=date(2014, 6, 30))
    child = factories.make_sign_up(row.day, bo, guardian=row.person)
    log_in(client, factories.make_staff())
    assert "a guardian signs" in client.post(address(child), sent()).content.decode()
    typed = sent(role="guardian", relation="mother", agrees="on")
    assert client.post(address(child), typed).status_code == 302
    for kept in Signature.objects.all():
        see_that_all_is_recorded(kept)
    given = Signature.objects.get(role="guardian")
    assert (given.signed_by, given.relation) == (row.person, "mother")
    assert people_with_waiver(row.day, [bo.pk])


def test_the_sheet_has_lines_to_sign_and_says_which_text_it_is(client: Client, row: SignUp) -> None:
    log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, row.day.cemetery))
    text = factories.make_waiver()
    page = client.get(reverse("waiver_print", args=[text.pk])).content.decode()
    assert f"Version {text.version}, English, {text.text_sha256[:12]}" in page
    other = factories.make_waiver(cemetery=factories.make_cemetery())
    assert client.get(reverse("waiver_print", args=[other.pk])).status_code == 404
