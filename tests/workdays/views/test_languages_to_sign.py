"""Whoever signs chooses the language of the text, and signs the one that stands on the page."""

from collections.abc import Callable

import pytest
import time_machine
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from coordinator import links
from tests import factories
from tests.factories import SPANISH_TEXT, START
from tests.pages import log_in
from tests.workdays.views.test_sign_up_pages import typed
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries.sign_ups import ANSWER, confirm_state

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def day() -> Workday:
    cache.clear()
    factories.make_translation(factories.make_waiver())
    return factories.make_day(factories.make_cemetery(name="Alder Hill"), capacity=6)


def spanish() -> Waiver:
    return Waiver.objects.get(language="es")


def stranger(day: Workday, _client: Client) -> str:
    return reverse("sign_up", args=[day.pk])


def known(day: Workday, _client: Client) -> str:
    return reverse("own_join", args=[factories.make_person(name="Ana Costa").secret, day.pk])


def named(day: Workday, _client: Client) -> str:
    person = factories.make_person(name="Ana Costa", confirmed_at=None)
    row = factories.make_sign_up(
        day, person, state=SignUp.State.UNCONFIRMED, held_until=day.cut_off_at
    )
    row.refresh_from_db()
    return reverse("answer", args=[links.make(ANSWER, row.pk, confirm_state(row))])


def of_a_group(day: Workday, _client: Client) -> str:
    group = factories.make_group(day, leader=factories.make_person(), reserved=2)
    return reverse("group_sign_up", args=[group.secret])


def at_the_gate(day: Workday, client: Client) -> str:
    log_in(client, factories.make_staff())
    return reverse("gate", args=[day.pk])


ENGLISH = "I know that stones are heavy."
GATE = {"age_group": "adult", "level": "some", "press": "6f4d1c1e-7d5a-4b0e-9f55-3f0d4a1b2c3d"}
WAYS = [stranger, known, named, of_a_group, at_the_gate]


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_the_language_is_chosen_by_a_link_or_a_press_and_what_was_typed_stays(
    client: Client, day: Workday, way: Callable[[Workday, Client], str]
) -> None:
    address = way(day, client)
    page = client.get(address).content.decode()
    assert ENGLISH in page
    assert 'href="?language=es" lang="es"' in page
    page = client.get(f"{address}?language=es").content.decode()
    assert SPANISH_TEXT in page
    assert ENGLISH not in page
    assert '<div lang="es" dir="auto">' in page
    assert '<span lang="es">He leído este texto' in page
    pressed = typed(read_in="es", emergency_name="Rui Costa") | GATE
    page = client.post(address, pressed).content.decode()
    assert SPANISH_TEXT in page
    assert 'value="Rui Costa"' in page
    assert 'id="id_affirm" checked' not in page
    assert "is-invalid" not in page
    assert not Signature.objects.exists()
    sent = typed(text_sha256=spanish().text_sha256) | GATE
    with time_machine.travel(START if way is at_the_gate else factories.NOW, tick=False):
        client.post(address, sent)
    kept = Signature.objects.get()
    assert (kept.language, kept.text) == ("es", SPANISH_TEXT)
    assert kept.affirmed.startswith("He leído")


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_a_text_that_is_not_signed_here_is_refused_with_a_sentence(
    client: Client, day: Workday, way: Callable[[Workday, Client], str]
) -> None:
    address = way(day, client)
    elsewhere = factories.make_waiver(cemetery=factories.make_cemetery(), text="Of elsewhere.")
    sent = typed(text_sha256=elsewhere.text_sha256) | GATE
    page = client.post(f"{address}?language=es", sent).content.decode()
    assert "Please read it once more" in page
    assert SPANISH_TEXT in page
    assert f'name="text_sha256" value="{spanish().text_sha256}"' in page
    assert not Signature.objects.exists()


def test_a_guardian_and_a_child_read_the_rules_in_the_language_chosen(
    client: Client, day: Workday
) -> None:
    for address in (stranger(day, client), at_the_gate(day, client)):
        page = client.get(f"{address}?language=es").content.decode()
        assert '<ul lang="es">' in page
        assert "Me quedo con mi tutor" in page


def test_a_text_in_one_language_offers_no_choice(client: Client) -> None:
    factories.make_waiver()
    page = client.get(stranger(factories.make_day(), client)).content.decode()
    assert "can be read in" not in page
    assert "read_in" not in page
