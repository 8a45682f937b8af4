"""A post lets nobody further than a look: every address, every role, empty and well-formed.

What each role sees is in the table of test_access_table.py; here the same rows are posted to.
People who act by mailed links (a volunteer, a host; the owner has no link yet) stay strangers
everywhere else, also in the browser in which they opened their own page.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from http.cookies import SimpleCookie
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from pytest_django.plugin import DjangoDbBlocker

from tests.factories import NOW
from tests.guards.access_world import World, make_world
from tests.guards.attacks.pages import form_fields
from tests.guards.attacks.trying import undone
from tests.guards.test_access_table import LOG_IN, ROLES, TABLE, Expected

pytestmark = pytest.mark.django_db
ONLY_SHOWN = 405
# What a post by somebody who may act comes to: done, or told what is missing; never refused.
HEARD = frozenset({200, 204, 302, 303, 400, 409, 410, 422, 429, ONLY_SHOWN})
LINK_HOLDERS = ("volunteer", "host", "owner")


@dataclass(frozen=True)
class Place:
    """One world, and who comes to it."""

    world: World
    clients: dict[str, Client]


@pytest.fixture(scope="module")
def place(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[Place]:
    """One world for all posts of this file, each of which is taken back."""
    with django_db_blocker.unblock(), undone(), time_machine.travel(NOW, tick=False):
        world = make_world()
        clients = {}
        for role in ROLES:
            clients[role] = Client()
            if role != "nobody":
                clients[role].force_login(getattr(world, role).user)
        for holder, link in (
            ("volunteer", reverse("own_page", args=[world.here.secret])),
            ("host", reverse("host_page", args=[world.host.secret])),
            ("owner", reverse("days_public")),
        ):
            clients[holder] = Client()
            assert clients[holder].get(link).status_code == 200
        yield Place(world, clients)


def allowed_posts(seen: Expected) -> frozenset[int]:
    """Return what a post may be answered with by what a look is answered with."""
    if seen == LOG_IN:
        return frozenset({302})
    if isinstance(seen, int):
        # A page that is posted to only, or shown only, says so before it asks for its row.
        return frozenset({seen, ONLY_SHOWN})
    if seen & {404, 410}:
        return seen | {ONLY_SHOWN}
    return HEARD | seen


def post(client: Client, path: str, data: dict[str, Any]) -> Any:
    """Post, and take back what it did, also to the cookies."""
    cookies = SimpleCookie({key: one.value for key, one in client.cookies.items()})
    with undone():
        answer = client.post(path, data)
    client.cookies = cookies
    return answer


@pytest.mark.parametrize("name", TABLE)
def test_a_post_lets_nobody_further_than_a_look(name: str, place: Place) -> None:
    row = TABLE[name]
    path = reverse(name, args=row.args(place.world))
    with undone():
        fields = form_fields(place.clients["organiser"], path) if not row.press else {}
    well_formed = {key: found[0] for key, found in fields.items() if found[:1] not in ([], [None])}
    for role in (*ROLES, *LINK_HOLDERS):
        seen = row.expected[ROLES.index(role if role in ROLES else "nobody")]
        for data in ({}, well_formed):
            answer = post(place.clients[role], path, data)
            assert answer.status_code in allowed_posts(seen), role
            if seen == LOG_IN:
                assert answer["Location"].startswith(reverse("account_login")), role


@pytest.mark.parametrize("name", [name for name, row in TABLE.items() if not row.press])
def test_a_mailed_link_opens_nothing_else(name: str, place: Place) -> None:
    row = TABLE[name]
    expected = row.expected[ROLES.index("nobody")]
    for holder in LINK_HOLDERS:
        with undone():
            answer = place.clients[holder].get(reverse(name, args=row.args(place.world)))
        if expected == LOG_IN:
            assert answer.status_code == 302
            assert answer["Location"].startswith(reverse("account_login"))
        else:
            allowed = expected if isinstance(expected, frozenset) else {expected}
            assert answer.status_code in allowed, holder
