"""Somebody on a day signs anew by the own link, once what they signed holds no more."""

from datetime import date

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator.models import AuditEntry, SentMessage
from tests.factories import NOW, make_day, make_person, make_sign_up, make_waiver, sign
from tests.workdays.records import see_that_all_is_recorded
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries.waivers import people_with_waiver
from workdays.rules.signed_text import sha256

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_now() -> object:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def row() -> SignUp:
    """Somebody who signed a text that a newer one has taken the place of."""
    old = make_waiver(validity=Waiver.Validity.NEW_VERSION)
    person = make_person(name="Ada Quill")
    sign(person, old)
    make_waiver(text="The newer text.", validity=Waiver.Validity.NEW_VERSION)
    return make_sign_up(make_day(), person)


@pytest.fixture
def child(row: SignUp) -> SignUp:
    """A child who comes with them."""
    born = make_person(name="Bo Quill", is_adult=False, born_on=date(2016, 3, 1))
    return make_sign_up(row.day, born, guardian=row.person)


def page_of(row: SignUp) -> str:
    return reverse("own_sign", args=[row.person.secret, row.pk])


def typed(**values: str) -> dict[str, str]:
    text = {"text_sha256": sha256("The newer text."), "affirm": "on", "typed_name": "ada  quill"}
    return text | values


def day_page(client: Client, row: SignUp) -> str:
    return client.get(reverse("own_day", args=[row.person.secret, row.pk])).content.decode()


def test_what_is_missing_is_said_and_can_be_signed(client: Client, row: SignUp) -> None:
    assert (
        "please sign" in client.get(reverse("own_page", args=[row.person.secret])).content.decode()
    )
    assert page_of(row) in day_page(client, row)
    assert "The newer text." in client.get(page_of(row)).content.decode()
    answer = client.post(page_of(row), typed())
    assert answer.status_code == 302
    assert people_with_waiver(row.day, [row.person_id])
    assert page_of(row) not in day_page(client, row)
    assert (
        "please sign"
        not in client.get(reverse("own_page", args=[row.person.secret])).content.decode()
    )
    mail = SentMessage.objects.get(reason="copy of what you signed")
    assert "The newer text." in mail.text
    assert "What was missing for" in mail.text
    see_that_all_is_recorded(Signature.objects.get(typed_name="ada quill"))
    assert AuditEntry.objects.filter(verb="signed anew").count() == 1


def test_a_second_press_signs_nothing_more(client: Client, row: SignUp) -> None:
    client.post(page_of(row), typed())
    before = Signature.objects.count()
    assert client.post(page_of(row), typed()).status_code == 302
    assert Signature.objects.count() == before
    assert client.get(page_of(row)).status_code == 302


@pytest.mark.parametrize(
    ("values", "said"),
    [
        ({"typed_name": "Somebody Else"}, "Type your name as it stands here: Ada Quill."),
        ({"affirm": ""}, "Without this nobody can come."),
        ({"text_sha256": "0" * 64}, "The text has changed since you opened this page."),
    ],
)
def test_half_a_signature_is_none(
    client: Client, row: SignUp, values: dict[str, str], said: str
) -> None:
    before = Signature.objects.count()
    assert said in client.post(page_of(row), typed(**values)).content.decode()
    assert Signature.objects.count() == before


def test_a_guardian_signs_for_the_child_too(client: Client, row: SignUp, child: SignUp) -> None:
    assert "Bo Quill" in client.get(page_of(row)).content.decode()
    said = {f"{name}_{child.pk}": "on" for name in ("signs", "agrees")}
    half = client.post(page_of(row), typed(**said)).content.decode()
    assert "For a child this is needed too." in half
    answer = client.post(page_of(row), typed(**said, **{f"relation_{child.pk}": "mother"}))
    assert answer.status_code == 302
    people = [row.person_id, child.person_id]
    assert set(people_with_waiver(row.day, people)) == set(people)
    roles = Signature.objects.filter(person=child.person).values_list("role", "signed_by")
    for signature in Signature.objects.filter(person=child.person):
        see_that_all_is_recorded(signature)
    assert set(roles) == {("guardian", row.person_id), ("minor", child.person_id)}


def test_a_child_left_out_can_be_signed_for_later(
    client: Client, row: SignUp, child: SignUp
) -> None:
    client.post(page_of(row), typed())
    assert not people_with_waiver(row.day, [child.person_id])
    assert page_of(row) in day_page(client, row)
    assert "Say for which child you sign." in client.post(page_of(row), typed()).content.decode()
    said = {f"{name}_{child.pk}": "on" for name in ("signs", "agrees", "relation")}
    client.post(page_of(row), typed(**said))
    assert people_with_waiver(row.day, [child.person_id])
    assert Signature.objects.filter(person=row.person).count() == 2


def test_nothing_is_signed_for_a_day_that_is_over_or_off(client: Client, row: SignUp) -> None:
    before = Signature.objects.count()
    Workday.objects.filter(pk=row.day_id).update(state=Workday.State.CALLED_OFF)
    assert client.post(page_of(row), typed()).status_code == 302
    Workday.objects.filter(pk=row.day_id).update(state=Workday.State.OPEN)
    with time_machine.travel(row.day.ends_at, tick=False):
        assert client.post(page_of(row), typed()).status_code == 302
    assert Signature.objects.count() == before
    client.post(page_of(row), typed())
    assert Signature.objects.count() == before + 1
