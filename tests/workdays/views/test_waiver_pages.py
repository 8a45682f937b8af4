"""The pages of the texts that people sign."""

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.pages import log_in
from workdays.models import Waiver

pytestmark = pytest.mark.django_db
WORDS = "Stones are heavy and tools are sharp. I listen to the supervisor and lift nothing alone. "
TYPED = {
    "title": "What you agree to",
    "text": WORDS,
    "validity": "season",
    "language": "en",
    "read": "on",
}
SPANISH = (
    "Las piedras pesan y las herramientas cortan. Escucho al supervisor y no levanto nada solo."
)
IN_SPANISH = {"title": "Lo que acepta", "text": SPANISH, "language": "es", "read": "on"}


@pytest.fixture
def organiser(client: Client) -> Client:
    log_in(client, factories.make_staff())
    return client


def test_an_organiser_publishes_a_version_and_sees_the_old_one(organiser: Client) -> None:
    old = factories.make_waiver(version=1, text="The old words. " * 8)
    factories.sign(factories.make_person(), old)
    page = organiser.get(reverse("waiver_new")).content.decode()
    assert "The old words." in page
    with time_machine.travel(factories.NOW, tick=False):
        assert organiser.post(reverse("waiver_new"), TYPED).status_code == 302
    page = organiser.get(reverse("waivers")).content.decode()
    assert "Everybody signs version 2" in page
    assert page.count("signed now") == 1
    kept = organiser.get(reverse("waiver", args=[old.pk])).content.decode()
    assert "The old words." in kept
    assert old.text_sha256 in kept


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"text": "x"}, "at least 80 letters"),
        ({"text": "\0"}, "This field is required"),
        ({"text": "y" * 40_001}, "at most 40000 characters"),
        ({"validity": "for ever"}, "Select a valid choice"),
        ({"read": ""}, "Read it once more and say so here."),
        ({"title": ""}, "This field is required"),
        ({"language": "tlh"}, "Select a valid choice"),
    ],
)
def test_what_cannot_be_published_is_said_and_what_was_typed_stays(
    organiser: Client, typed: dict[str, str], sentence: str
) -> None:
    answer = organiser.post(reverse("waiver_new"), TYPED | typed)
    assert sentence in answer.content.decode()
    assert not Waiver.objects.exists()
    if "text" not in typed:
        assert WORDS.strip() in answer.content.decode()


def test_markup_in_a_text_is_shown_as_words_and_markdown_as_markup(organiser: Client) -> None:
    text = "<script>alert(1)</script> **bold** " * 4
    organiser.post(reverse("waiver_new"), TYPED | {"text": text})
    page = organiser.get(reverse("waiver", args=[Waiver.objects.get().pk])).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page
    assert "<strong>bold</strong>" in page


def test_a_text_is_looked_at_before_it_is_published(organiser: Client) -> None:
    asked = TYPED | {"text": WORDS + "\n\n## Tools", "look": "yes", "read": ""}
    page = organiser.post(reverse("waiver_new"), asked).content.decode()
    assert "<h4>Tools</h4>" in page
    assert "## Tools</textarea>" in page
    assert "Read it once more" not in page
    assert not Waiver.objects.exists()


def test_an_organiser_of_one_place_publishes_there_only(client: Client) -> None:
    here, there = factories.make_cemetery(), factories.make_cemetery()
    general = factories.make_waiver()
    own = factories.make_waiver(cemetery=there, version=1)
    log_in(client, factories.make_staff(cemetery=here))
    page = client.get(reverse("waivers")).content.decode()
    assert here.name in page
    assert there.name not in page
    assert client.get(reverse("waiver", args=[general.pk])).status_code == 200
    assert client.get(reverse("waiver", args=[own.pk])).status_code == 404
    assert client.post(reverse("waiver_new"), TYPED).status_code == 403
    assert client.post(reverse("waiver_of_place_new", args=[there.slug]), TYPED).status_code == 404
    assert client.post(reverse("waiver_of_place_new", args=[here.slug]), TYPED).status_code == 302
    assert here.waivers.get().version == 1


def test_a_language_is_added_and_each_text_is_marked_as_its_own(organiser: Client) -> None:
    first = factories.make_waiver(title="What you agree to")
    address = reverse("waiver_language_new", args=[first.pk])
    assert address in organiser.get(reverse("waiver", args=[first.pk])).content.decode()
    page = organiser.post(address, IN_SPANISH | {"look": "yes", "read": ""}).content.decode()
    assert '<div class="waiver" lang="es" dir="ltr">' in page
    assert not first.translations.exists()
    assert "Have it checked" in organiser.post(address, IN_SPANISH | {"read": ""}).content.decode()
    assert organiser.post(address, IN_SPANISH).status_code == 302
    made = first.translations.get()
    page = organiser.get(reverse("waiver", args=[made.pk])).content.decode()
    assert '<div class="waiver" lang="es" dir="ltr">' in page
    assert '<span lang="es">Lo que acepta</span>' in page
    assert "for a lawyer who reads it" in page
    assert "Español" in organiser.get(reverse("waivers")).content.decode()
    assert "Select a valid choice" in organiser.post(address, IN_SPANISH).content.decode()
    assert organiser.get(reverse("waiver_language_new", args=[made.pk])).status_code == 404


def test_a_new_version_says_which_language_it_lost(organiser: Client) -> None:
    first = factories.make_waiver(version=1)
    factories.make_waiver(version=1, translates=first, language="es", text=SPANISH)
    page = organiser.get(reverse("waivers")).content.decode()
    assert "has not yet" not in page
    newest = factories.make_waiver(version=2, text=WORDS)
    page = organiser.get(reverse("waivers")).content.decode()
    assert "version 2 has not yet" in page
    assert reverse("waiver_language_new", args=[newest.pk]) in page
