"""Passkeys beside the mailed code, and log-ins that end."""

from datetime import timedelta

import pytest
import time_machine
from allauth.mfa.models import Authenticator
from django.conf import LazySettings
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from coordinator.log_ins.actions import MOST_PASSKEYS, NewPasskey, add_passkey
from coordinator.models import AuditEntry, SentMessage, User
from tests.factories import make_staff

pytestmark = pytest.mark.django_db
SIGN_IN = "/log-in/passkey/"


@pytest.fixture
def user(client: Client) -> User:
    user = make_staff().user
    assert user is not None
    client.force_login(user)
    return user


def passkey(user: User, name: str = "my phone") -> Authenticator:
    return add_passkey(user, NewPasskey(name, {}))


def test_the_page_asks_for_a_key_that_verifies_its_user(client: Client, user: User) -> None:
    page = client.get(reverse("passkey_add")).content.decode()
    assert "&quot;userVerification&quot;: &quot;required&quot;" in page
    assert "&quot;residentKey&quot;: &quot;required&quot;" in page
    assert user.email in page


NONSENSE = ["", "{}", "[]", "null", "x", '{"response": {"userHandle": "MQ"}}', "[" * 5000,
            '{"id":"AA","rawId":"AA","type":"public-key","response":{"clientDataJSON":"AA",'
            '"attestationObject":"AA","authenticatorData":"AA","signature":"AA",'
            '"userHandle":"MQ"}}']  # fmt: skip


@pytest.mark.parametrize("credential", NONSENSE)
def test_what_proves_nothing_is_not_kept(client: Client, user: User, credential: str) -> None:
    client.get(reverse("passkey_add"))
    answer = client.post(reverse("passkey_add"), {"name": "phone", "credential": credential})
    assert answer.status_code == 200
    assert "was not taken" in answer.content.decode()
    assert not Authenticator.objects.exists()


@pytest.mark.parametrize("credential", NONSENSE)
def test_what_proves_nothing_signs_nobody_in(credential: str) -> None:
    passkey(make_staff().user)  # type: ignore[arg-type]
    client = Client()
    assert client.get(SIGN_IN).json()["publicKey"]["challenge"]
    answer = client.post(SIGN_IN, {"credential": credential}, follow=True)
    assert "was not taken" in answer.content.decode()
    assert "_auth_user_id" not in client.session


def test_a_passkey_is_renamed_and_removed_with_a_mail(client: Client, user: User) -> None:
    row = passkey(user)
    client.post(reverse("passkey_name", args=[row.pk]), {"name": "  the\u0007 office "})
    assert "the office" in client.get(reverse("log_ins")).content.decode()
    client.post(reverse("passkey_remove", args=[row.pk]))
    assert not Authenticator.objects.exists()
    keys = [key.partition(":")[0] for key in SentMessage.objects.values_list("key", flat=True)]
    assert keys == ["passkey_added", "passkey_removed"]
    verbs = set(AuditEntry.objects.values_list("verb", flat=True))
    assert verbs >= {"added a passkey", "renamed a passkey", "removed a passkey"}


@pytest.mark.parametrize("name", ["", "   ", "\u200b", "x" * 61])
def test_a_passkey_needs_a_name_that_can_be_read(client: Client, user: User, name: str) -> None:
    row = passkey(user)
    answer = client.post(reverse("passkey_name", args=[row.pk]), {"name": name})
    assert "invalid-feedback" in answer.content.decode()
    row.refresh_from_db()
    assert row.data["name"] == "my phone"


@pytest.mark.parametrize("page", ["passkey_name", "passkey_remove"])
def test_nobody_reaches_the_passkey_of_another(client: Client, user: User, page: str) -> None:
    other = passkey(make_staff().user)  # type: ignore[arg-type]
    path = reverse(page, args=[other.pk])
    assert client.get(path).status_code == 404
    assert client.post(path, {"name": "mine"}).status_code == 404
    other.refresh_from_db()
    assert other.data["name"] == "my phone"


def test_there_is_a_most(client: Client, user: User) -> None:
    for number in range(MOST_PASSKEYS):
        passkey(user, str(number))
    assert client.get(reverse("passkey_add")).status_code == 302
    assert "Add a passkey" not in client.get(reverse("log_ins")).content.decode()


def test_the_mailed_code_still_lets_in_who_has_a_passkey(client: Client, user: User) -> None:
    passkey(user)
    stranger = Client()
    stranger.post("/log-in/", {"email": user.email})
    mail = SentMessage.objects.latest("pk").text.splitlines()
    stranger.post("/log-in/code/", {"code": mail[2]})
    assert stranger.session["_auth_user_id"] == str(user.pk)


def test_tries_are_counted_by_network(client: Client, settings: LazySettings) -> None:
    settings.LOG_INS_PER_NETWORK_HOUR = 2
    assert [client.get(SIGN_IN).status_code for _ in range(3)] == [200, 200, 429]
    assert "too often" in client.post(SIGN_IN).content.decode()
    assert client.get(SIGN_IN, REMOTE_ADDR="192.0.2.7").status_code == 200


@pytest.mark.parametrize("email", ["nobody@hollin.example", None])
def test_asking_for_codes_too_often_keeps_what_was_typed(
    user: User, settings: LazySettings, email: str | None
) -> None:
    settings.CODES_PER_MAILBOX_HOUR = 2
    mailbox = email or user.email
    answers = [Client().post("/log-in/", {"email": mailbox}) for _ in range(3)]
    assert [answer.status_code for answer in answers] == [302, 302, 429]
    assert mailbox in answers[-1].content.decode()
    assert SentMessage.objects.count() == (0 if email else 2)


def test_guessing_codes_from_one_network_ends(user: User, settings: LazySettings) -> None:
    settings.LOG_INS_PER_NETWORK_HOUR = 2
    stranger = Client()
    stranger.post("/log-in/", {"email": user.email})
    answers = [stranger.post("/log-in/code/", {"code": "WRONG1"}) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [200, 429]


def test_signing_out_everywhere_ends_every_session(client: Client, user: User) -> None:
    phone = Client()
    phone.force_login(user)
    assert phone.get("/log-ins/").status_code == 200
    client.post(reverse("log_out_everywhere"))
    for each in (client, phone):
        assert each.get("/log-ins/").status_code == 302


@pytest.mark.parametrize(
    ("steps_hours", "is_in"), [([71], True), ([73], False), ([70] * 4, True), ([70] * 5, False)]
)
def test_a_log_in_ends_idle_and_in_any_case(
    client: Client, user: User, steps_hours: list[int], is_in: bool
) -> None:
    now = timezone.now()
    with time_machine.travel(now, tick=False):
        client.get("/log-ins/")
    for hours in steps_hours:
        now += timedelta(hours=hours)
        with time_machine.travel(now, tick=False):
            answer = client.get("/log-ins/")
    assert answer.status_code == (200 if is_in else 302)
