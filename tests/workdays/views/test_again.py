"""Somebody who has been here before gets a link by mail; nobody learns who is known."""

import pytest
from django.conf import LazySettings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator.models import Person, SentMessage
from tests.factories import make_day, make_person, make_sign_up, make_waiver
from workdays.forms.guard import stamp

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
MAILBOX = "costa@volunteers.example"


def ask(client: Client, email: str, *args: object, **also: str) -> tuple[int, str, str]:
    """Ask for a link; return status, where it leads and the page without its own stamps."""
    path = reverse("again_for_day" if args else "again", args=args)
    answer = client.post(path, {"email": email, "age": stamp(), **also})
    return answer.status_code, answer.headers.get("Location", ""), answer.content.decode()


def test_a_known_mailbox_gets_one_link_for_each_person(client: Client) -> None:
    family = [make_person(name=name, email=MAILBOX) for name in ("Ana Costa", "Rui Costa")]
    assert ask(client, MAILBOX)[0] == 302
    row = SentMessage.objects.get()
    assert row.to_address == MAILBOX
    for person in family:
        assert reverse("own_page", args=[person.secret]) in row.text
    assert "A. C." in row.text
    assert "Costa" not in row.text + row.html + row.subject


def test_an_unknown_mailbox_gets_the_same_page_and_no_mail(client: Client) -> None:
    make_person(email=MAILBOX)
    known, stranger = ask(client, MAILBOX), ask(client, "nobody@volunteers.example")
    assert known == stranger
    assert SentMessage.objects.count() == 1


def test_known_or_not_the_database_is_asked_about_the_same(client: Client) -> None:
    make_person(email=MAILBOX)
    counts = []
    for email in (MAILBOX, "nobody@volunteers.example"):
        with CaptureQueriesContext(connection) as asked:
            ask(client, email)
        counts.append(len(asked))
    assert abs(counts[0] - counts[1]) <= 2


@pytest.mark.parametrize("gone", [{"confirmed_at": None}, {"erased_at": "2026-05-01T00:00Z"}])
def test_who_never_said_yes_or_was_erased_gets_no_link(
    client: Client, gone: dict[str, object]
) -> None:
    make_person(email=MAILBOX, **gone)
    ask(client, MAILBOX)
    assert not SentMessage.objects.exists()


def test_the_link_leads_to_the_day_one_came_from_unless_one_is_on_it(client: Client) -> None:
    make_waiver()
    day, new, on_it = make_day(), make_person(email=MAILBOX), make_person(email=MAILBOX)
    make_sign_up(day, on_it)
    ask(client, MAILBOX, day.pk)
    text = SentMessage.objects.get().text
    assert reverse("own_join", args=[new.secret, day.pk]) in text
    assert reverse("own_join", args=[on_it.secret, day.pk]) not in text
    assert reverse("own_page", args=[on_it.secret]) in text


def test_the_page_of_a_day_and_its_form_lead_here(client: Client) -> None:
    make_waiver()
    day = make_day()
    for name in ("day", "sign_up"):
        page = client.get(reverse(name, args=[day.pk])).content.decode()
        assert reverse("again_for_day", args=[day.pk]) in page


@pytest.mark.parametrize("email", ["", "no mailbox", "\x00@x", "a" * 10_000, "ana@" + "x" * 300])
def test_nonsense_is_answered_beside_the_field(client: Client, email: str) -> None:
    status, _, page = ask(client, email)
    assert status == 200
    assert "invalid-feedback" in page


def test_a_machine_is_told_to_try_again(client: Client) -> None:
    make_person(email=MAILBOX)
    assert ask(client, MAILBOX, trap="x")[0] == 200
    assert ask(client, MAILBOX, age="forged")[0] == 200
    assert not SentMessage.objects.exists()


@pytest.mark.parametrize("setting", ["LINKS_PER_NETWORK_HOUR", "LINKS_PER_MAILBOX_DAY"])
@pytest.mark.parametrize("email", [MAILBOX, "nobody@volunteers.example"])
def test_asking_too_often_is_refused_and_keeps_what_was_typed(
    client: Client, settings: LazySettings, setting: str, email: str
) -> None:
    setattr(settings, setting, 1)
    make_person(email=MAILBOX)
    assert ask(client, email)[0] == 302
    status, _, page = ask(client, email)
    assert status == 429
    assert email in page
    assert Person.objects.count() == 1
