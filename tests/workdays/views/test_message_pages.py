"""An organiser writes to people of a day, looks at who gets it, and sends it with one press."""

from typing import Any
from uuid import UUID

import pytest
from django.test import Client, override_settings
from django.urls import reverse

from coordinator.models import SentMessage
from tests import factories
from tests.pages import log_in, words
from workdays.models import Cemetery, DayMessage, Membership, SignUp, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
TYPED = {
    "subject": "The gate",
    "text": "Come by the <b>lower</b> gate.\n\nBring gloves.",
    "part": "everybody",
}


@pytest.fixture
def day(hill: Cemetery) -> Workday:
    made = factories.make_day(hill)
    for name in ("Ana Costa", "Bo Lund"):
        factories.make_sign_up(made, factories.make_person(name=name))
    factories.make_sign_up(made, factories.make_person(name="Cy Rye", email=""))
    return made


def path(day: Workday) -> str:
    return reverse("day_message", args=[day.pk])


def previewed(client: Client, day: Workday, **changed: Any) -> dict[str, Any]:
    """Look at who gets it, and return what its button sends."""
    typed = TYPED | changed
    answer = client.post(path(day), typed)
    assert answer.status_code == 200
    seen = answer.context["audience"].reach.seen
    return {**typed, "seen": seen, "press": answer.context["press"], "send": "1"}


def test_it_is_written_looked_at_and_sent_once(client: Client, day: Workday) -> None:
    page = words(client.post(path(day), TYPED))
    assert "3 people get this, 1 of them by telephone" in page
    assert "Ana Costa" in page
    assert "1 has no mailbox: ring them" in page
    assert "&lt;b&gt;lower" in page
    assert not SentMessage.objects.exists()
    sending = previewed(client, day)
    for said in ("2 mails are on their way.", "nothing was sent twice"):
        assert said in words(client.post(path(day), sending, follow=True))
    assert SentMessage.objects.count() == 2
    assert words(client.get(reverse("day_messages", args=[day.pk]))).count("Bring gloves.") == 1


def test_who_left_meanwhile_stops_it_and_nothing_typed_is_lost(
    client: Client, day: Workday
) -> None:
    sending = previewed(client, day)
    SignUp.objects.filter(person__name="Bo Lund").update(state=SignUp.State.WITHDRAWN)
    answer = client.post(path(day), sending)
    assert answer.status_code == 409
    page = answer.content.decode()
    assert "The list has changed since you looked" in page
    assert "Bo Lund" not in page
    assert "Bring gloves." in page
    assert not DayMessage.objects.exists()
    seen = answer.context["audience"].reach.seen
    again = sending | {"seen": seen, "press": answer.context["press"]}
    assert client.post(path(day), again).status_code == 302


@pytest.mark.parametrize(
    ("changed", "sentence"),
    [
        ({"subject": ""}, "This field is required."),
        ({"text": "x" * 3001}, "at most 3000 characters"),
        ({"part": "party-999"}, "Nobody is in this part of the list any more"),
        ({"part": "ticked"}, "Tick who gets it."),
        ({"part": "ticked", "people": ["99999999999999999999"]}, "is no longer on the list"),
    ],
)
def test_a_refused_form_says_why_and_keeps_what_was_typed(
    client: Client, day: Workday, changed: dict[str, Any], sentence: str
) -> None:
    typed = TYPED | changed
    answer = client.post(path(day), {**typed, "send": "1"})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert sentence in page
    assert ("lower" in page) == ("lower" in typed["text"])


def test_people_ticked_one_by_one_get_it_and_ticks_want_that_choice(
    client: Client, day: Workday
) -> None:
    row = day.sign_ups.get(person__name="Bo Lund")
    page = words(client.post(path(day), TYPED | {"part": "ticked", "people": [row.pk]}))
    assert "1 person gets this" in page
    assert "Ana Costa" not in page
    answer = client.post(path(day), TYPED | {"people": [row.pk]})
    assert "You ticked people" in answer.content.decode()
    sending = previewed(client, day, part="ticked", people=[row.pk])
    client.post(path(day), sending)
    assert SentMessage.objects.get().to_address == row.person.email


def test_a_supervisor_reads_and_does_not_write(client: Client, day: Workday) -> None:
    client.post(path(day), previewed(client, day))
    log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, day.cemetery))
    page = words(client.get(reverse("day_messages", args=[day.pk])))
    assert "Bring gloves." in page
    assert "1 no mailbox: ring" in page
    assert path(day) not in page
    assert client.post(path(day), TYPED).status_code == 403


def test_one_organiser_sends_so_many_an_hour(client: Client, day: Workday) -> None:
    with override_settings(MESSAGES_PER_ORGANISER_HOUR=1):
        client.post(path(day), previewed(client, day))
        answer = client.post(path(day), previewed(client, day, text="Another thing."))
    assert answer.status_code == 409
    assert "many messages within the hour" in answer.content.decode()
    assert "Another thing." in answer.content.decode()
    assert DayMessage.objects.count() == 1


def test_the_press_of_a_stale_page_is_refused(client: Client, day: Workday) -> None:
    for wrong in ({"press": ""}, {"seen": ""}, {"seen": "x" * 64, "press": str(UUID(int=1))}):
        answer = client.post(path(day), previewed(client, day) | wrong)
        assert answer.status_code == 409
    assert not DayMessage.objects.exists()
