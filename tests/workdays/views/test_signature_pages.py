"""Pages of what was signed: for the person by the link, for organisers by log-in."""

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.pages import log_in, words
from workdays.models import Signature

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def signed() -> Signature:
    factories.make_waiver()
    day, ana = factories.make_day(), factories.make_person(name="Ana Costa")
    factories.make_sign_up(day, ana)
    return factories.sign(ana)


def test_a_person_takes_back_what_was_signed(client: Client, signed: Signature) -> None:
    args = [signed.person.secret, signed.pk]
    address = reverse("own_waiver_withdraw", args=args)
    page = words(client.get(address))
    assert "Nobody works on a day without a signature" in page
    assert "9 May" in page
    assert Signature.objects.get().withdrawn_at is None
    assert client.post(address).status_code == 302
    assert Signature.objects.get().withdrawn_at is not None
    assert "it holds no longer" in words(client.get(reverse("own_waiver", args=args)))
    assert "taken back already" in words(client.post(address, follow=True))


def test_an_organiser_says_why_it_holds_no_longer(client: Client, signed: Signature) -> None:
    log_in(client, factories.make_staff())
    person = reverse("person", args=[signed.person_id])
    address = reverse("person_signature", args=[signed.pk])
    assert address in words(client.get(person))
    assert "Say why" in words(client.post(address, {}))
    assert "Select a valid choice" in words(client.post(address, {"why": "because Ana"}))
    assert Signature.objects.get().withdrawn_at is None
    assert "Taken back" in words(client.post(address, {"why": "asked"}, follow=True))
    assert "taken back already" in words(client.post(address, {"why": "asked"}))
    assert "taken back" in words(client.get(person))


def test_an_organiser_of_another_place_sees_nothing(client: Client, signed: Signature) -> None:
    log_in(client, factories.make_staff(cemetery=factories.make_cemetery()))
    assert client.get(reverse("person_signature", args=[signed.pk])).status_code == 404


def test_the_pdf_of_a_signature_is_the_same_each_time(client: Client, signed: Signature) -> None:
    log_in(client, factories.make_staff())
    own = reverse("own_waiver_pdf", args=[signed.person.secret, signed.pk])
    first, second = client.get(own), client.get(own)
    assert first["Content-Type"] == "application/pdf"
    assert first.content[:5] == b"%PDF-"
    assert len(first.content) == len(second.content)
    theirs = client.get(reverse("person_signature_pdf", args=[signed.pk]))
    assert len(theirs.content) == len(first.content)
