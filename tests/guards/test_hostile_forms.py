"""Ten thousand hostile posts, and as many hostile questions as there are pages: never a 500.

Every address of the resolver is posted to by whoever may come: a stranger, a supervisor, an
organiser. Deterministic; hypothesis shrinks what breaks an address to the least that breaks it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from http.cookies import SimpleCookie
from io import BytesIO
from math import ceil
from typing import Any
from unittest import mock
from urllib.parse import urlencode

import pytest
import time_machine
from django.test import Client, override_settings
from django.urls import reverse
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from pytest_django.plugin import DjangoDbBlocker

from tests.factories import NOW
from tests.guards.access_world import World, make_world
from tests.guards.attacks.pages import form_fields
from tests.guards.attacks.trying import undone
from tests.guards.hostile import Pairs, bodies, values
from tests.guards.test_access_table import TABLE

pytestmark = pytest.mark.django_db
IN_ALL = 10_000
POSTED = sorted(TABLE)
# Addresses that take no post answer 405, and are posted to all the same: a few times.
EACH, EACH_QUESTION = ceil(IN_ALL / len(POSTED)), 4
MANY = 10**9
NO_LIMITS = {
    "SIGN_UPS_PER_NETWORK_HOUR": MANY,
    "SIGN_UPS_PER_MAILBOX_DAY": MANY,
    "LINKS_PER_NETWORK_HOUR": MANY,
    "LINKS_PER_MAILBOX_DAY": MANY,
    "LOG_INS_PER_NETWORK_HOUR": MANY,
    "CODES_PER_MAILBOX_HOUR": MANY,
}
# What a page was made from is copied for each test to read; here nobody reads it.
UNREAD = partial(mock.patch, "django.test.client.store_rendered_templates", lambda *_a, **_k: None)
QUIET = settings(
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
)


@dataclass
class Place:
    """The world that is attacked, and who attacks it."""

    world: World
    clients: dict[str, Client]


@pytest.fixture(scope="module")
def place(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Place]:
    """One world for all attempts of this file, each of which is taken back."""
    with (
        django_db_blocker.unblock(),
        undone(),
        override_settings(**NO_LIMITS),
        time_machine.travel(NOW, tick=False),
    ):
        world = make_world()
        clients = {"nobody": Client(), "organiser": Client(), "here": Client()}
        for role in ("organiser", "here"):
            clients[role].force_login(getattr(world, role).user)
        yield Place(world, clients)


def send(client: Client, method: str, path: str, **what: Any) -> int:
    """Send one request, take back what it did, and return its status."""
    cookies = SimpleCookie({key: one.value for key, one in client.cookies.items()})
    with undone(), UNREAD():
        answer = client.generic(method, path, **what)
        b"".join(getattr(answer, "streaming_content", ()))
    client.cookies = cookies
    return answer.status_code


def post(client: Client, path: str, body: Pairs, as_file: str) -> int:
    """Post a body; the field ``as_file``, if any, comes as a file and the rest with it."""
    if as_file:
        data: dict[str, Any] = {
            name: value.encode("utf-8", "replace").decode() for name, value in body if name
        }
        data[as_file] = BytesIO(b"\x89PNG\x00\xff" + as_file.encode("utf-8", "replace"))
        cookies = SimpleCookie({key: one.value for key, one in client.cookies.items()})
        with undone(), UNREAD():
            status = client.post(path, data).status_code
        client.cookies = cookies
        return status
    text = urlencode(body, encoding="utf-8", errors="surrogatepass")
    kind = "application/x-www-form-urlencoded"
    return send(client, "POST", path, data=text, content_type=kind)


@pytest.mark.parametrize("name", POSTED)
def test_no_post_breaks_a_page(name: str, place: Place) -> None:
    path = reverse(name, args=TABLE[name].args(place.world))
    with undone():
        fields = form_fields(place.clients["organiser"], path)
    base = {key: found[:1] for key, found in fields.items() if found[:1] != [None]}
    roles = st.sampled_from(["organiser", "organiser", "here", "nobody"])
    files = st.sampled_from(["", "", "", *base])
    sent = 0

    @settings(QUIET, max_examples=EACH)
    @given(body=bodies(base), role=roles, as_file=files)
    def attack(body: Pairs, role: str, as_file: str) -> None:
        nonlocal sent
        sent += 1
        assert post(place.clients[role], path, body, as_file) < 500

    attack()
    # Hypothesis stops early where it has sent all that there is; the rest is sent as text.
    for number in range(sent, EACH):
        value = str(number) * 20
        assert post(place.clients["organiser"], path, [(value, value)], "") < 500
        sent += 1
    assert sent >= EACH


def test_ten_thousand_posts_are_sent() -> None:
    print(f"{EACH * len(POSTED)} hostile posts to {len(POSTED)} addresses")  # noqa: T201  # told
    assert EACH * len(POSTED) >= IN_ALL


ASKED = ("q", "page", "on", "from", "to", "kind", "state", "section", "sort", "next", "list", "v")


def test_a_planted_mistake_is_found(place: Place, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("workdays.forms.fields.printable", lambda text: int(text or "0"))
    quick = settings(QUIET, phases=[Phase.generate])
    monkeypatch.setattr("tests.guards.test_hostile_forms.QUIET", quick)
    with pytest.raises(ValueError, match="invalid literal"):
        test_no_post_breaks_a_page("ask_for_clinic", place)


@pytest.mark.parametrize("name", POSTED)
def test_no_question_breaks_a_page(name: str, place: Place) -> None:
    path = reverse(name, args=TABLE[name].args(place.world))
    with undone():
        names = [*form_fields(place.clients["organiser"], path), *ASKED]
    pairs = st.lists(st.tuples(st.sampled_from(names), values()), min_size=1, max_size=3)

    @settings(QUIET, max_examples=EACH_QUESTION)
    @given(asked=pairs, role=st.sampled_from(["organiser", "nobody"]), part=st.booleans())
    def attack(asked: Pairs, role: str, part: bool) -> None:
        short = [(key, value[:2000]) for key, value in asked]
        text = urlencode(short, encoding="utf-8", errors="surrogatepass")
        headers = {"HX-Request": "true"} if part else {}
        status = send(place.clients[role], "GET", f"{path}?{text}", headers=headers)
        # No worker runs here, and the page about the service's health says so.
        assert status < 500 or (name, status) == ("health", 503)

    attack()
