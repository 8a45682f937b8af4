"""Staff get in by a mailed code or a one-shot link, and by nothing else."""

import re
from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from coordinator.log_in_link import link_for
from coordinator.models import SentMessage
from tests.factories import make_staff, make_user

pytestmark = pytest.mark.django_db
ASK, CODE = "/log-in/", "/log-in/code/"


def ask(client: Client, email: str) -> str | None:
    """Ask for a code; return the one that was mailed, if any."""
    answer = client.post(ASK, {"email": email})
    assert (answer.status_code, answer["Location"]) == (302, CODE)
    row = SentMessage.objects.order_by("pk").last()
    found = re.search(r"(?m)^([A-Z0-9-]{6,9})$", row.text) if row else None
    return found[1] if found else None


def is_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


def test_a_mailed_code_lets_staff_in(client: Client) -> None:
    person = make_staff()
    code = ask(client, person.user.email)  # type: ignore[union-attr]
    assert code
    assert not is_in(client)
    client.post(CODE, {"code": code})
    assert is_in(client)


def test_a_wrong_code_lets_nobody_in(client: Client) -> None:
    assert ask(client, make_user().email)
    answer = client.post(CODE, {"code": "WRONG1"})
    assert not is_in(client)
    assert "invalid-feedback" in answer.content.decode()


def test_guessing_ends_after_a_few_codes(client: Client) -> None:
    code = ask(client, make_user().email)
    for _ in range(5):
        client.post(CODE, {"code": "WRONG1"})
    client.post(CODE, {"code": code})
    assert not is_in(client)


def test_a_code_dies_of_age(client: Client) -> None:
    now = timezone.now()
    with time_machine.travel(now, tick=False):
        code = ask(client, make_user().email)
    with time_machine.travel(now + timedelta(minutes=16), tick=False):
        client.post(CODE, {"code": code})
    assert not is_in(client)


def test_a_stranger_gets_the_same_page_and_no_mail(client: Client) -> None:
    assert ask(client, "stranger@volunteers.example") is None
    assert SentMessage.objects.count() == 0
    assert client.get(CODE).status_code == 200


@pytest.mark.parametrize("email", ["", "no mailbox", "a" * 10_000, "<b>@hollin.example", "\x00@x"])
def test_nonsense_in_place_of_a_mailbox_is_answered_beside_the_field(
    client: Client, email: str
) -> None:
    answer = client.post(ASK, {"email": email})
    assert answer.status_code == 200
    assert "invalid-feedback" in answer.content.decode()


@pytest.mark.parametrize("path", ["/signup/", "/account/signup/", "/account/password/reset/"])
def test_there_is_no_sign_up_and_no_password(client: Client, path: str) -> None:
    client.force_login(make_user())
    assert client.get(path).status_code == 404


def test_a_page_for_staff_leads_to_the_log_in(client: Client) -> None:
    answer = client.get(reverse("mail"))
    assert answer["Location"] == f"{ASK}?next=/mail/"


def test_a_link_shows_on_get_and_signs_in_on_post_once(client: Client) -> None:
    user = make_user()
    path = link_for(user).removeprefix("http://127.0.0.1:8000")
    assert user.email in client.get(path).content.decode()
    assert not is_in(client)
    client.post(path)
    assert is_in(client)
    again = Client().post(path)
    assert again.status_code == 410


def test_an_altered_link_says_so(client: Client) -> None:
    path = link_for(make_user()).removeprefix("http://127.0.0.1:8000")
    answer = client.post(path[:-3] + "/")
    assert answer.status_code == 410
    assert not is_in(client)


def test_logging_out_needs_a_press(client: Client) -> None:
    client.force_login(make_user())
    assert client.get("/log-out/").status_code == 200
    assert is_in(client)
    client.post("/log-out/")
    assert not is_in(client)
