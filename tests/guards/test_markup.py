"""What somebody typed is shown as typed, never as a part of the page; no page holds inline code.

Text with markup in it is planted in each column that holds words; then every address is looked at
by an organiser and, where a mailed link leads to it, by its holder.
"""

from collections.abc import Iterator
from html.parser import HTMLParser
from typing import Any

import pytest
import time_machine
from django.apps import apps
from django.db import models
from django.db.models import Value
from django.db.models.functions import Concat
from django.db.models.query import QuerySet
from django.test import Client
from django.urls import reverse
from pytest_django.plugin import DjangoDbBlocker

from tests.factories import NOW
from tests.guards.access_world import World, make_world
from tests.guards.attacks.found import PACKAGES
from tests.guards.attacks.trying import undone
from tests.guards.test_access_table import SHOWN, TABLE

pytestmark = pytest.mark.django_db
PLANTED = """ "'><img src=x onerror=planted()><script>planted()</script>"""
# Columns that the product writes and reads itself, not people; those with choices are left anyway.
# A kept mail's own page is shown with nothing allowed to it (see test_kept_mail.py).
OF_MACHINES = (
    "secret",
    "slug",
    "key",
    "sha256",
    "zone",
    "hash",
    "ics_uid",
    "digest",
    "language",
    "password",
    "log_in_mark",
    "html",
)


class Read(HTMLParser):
    """Reads a page as a browser does, and keeps what must not be there."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.wrong: list[str] = []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Keep code that stands in the page itself, and what was planted."""
        held = dict(attrs)
        inline = [name for name in held if name.startswith("on") or name == "style"]
        runs = [name for name, value in attrs if (value or "").strip().startswith("javascript:")]
        own_code = tag == "style" or (tag == "script" and not held.get("src"))
        if inline or runs or own_code or held.get("src") == "x":
            self.wrong.append(self.get_starttag_text() or tag)


def columns_of_words(model: type[models.Model]) -> Iterator[models.Field[Any, Any]]:
    """Give the columns of a table in which people's words stand."""
    for column in model._meta.concrete_fields:
        is_text = isinstance(column, models.CharField | models.TextField)
        is_free = not column.choices and not column.unique and not column.primary_key
        if is_text and is_free and not any(word in column.name for word in OF_MACHINES):
            yield column


def plant() -> int:
    """Write markup behind the words of every row, also of those that nobody may change."""
    planted = 0
    for model in apps.get_models():
        if model._meta.app_label not in PACKAGES:
            continue
        for column in columns_of_words(model):
            # SQLite keeps what is longer than the column says; the pages must bear that as well.
            marked = Concat(column.name, Value(PLANTED), output_field=column.__class__())
            planted += QuerySet(model).update(**{column.name: marked})
    return planted


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """A world whose every word ends in markup."""
    with django_db_blocker.unblock(), undone(), time_machine.travel(NOW, tick=False):
        world = make_world()
        assert plant() > 100
        yield world


@pytest.mark.parametrize("name", [name for name, row in TABLE.items() if not row.press])
def test_words_never_become_markup(name: str, world: World) -> None:
    path, expected = reverse(name, args=TABLE[name].args(world)), TABLE[name].expected[1]
    with undone():
        client = Client()
        assert world.organiser.user
        client.force_login(world.organiser.user)
        answer = client.get(path)
        text = b"".join(getattr(answer, "streaming_content", None) or [answer.content]).decode(
            "latin-1"
        )
    if expected == SHOWN:
        assert answer.status_code == 200
    if answer["Content-Type"].startswith("text/html"):
        assert Read(text).wrong == []
        policy = answer["Content-Security-Policy"]
        assert "default-src" in policy
        assert "unsafe" not in policy or "sandbox" in policy


def test_markup_that_slips_through_is_found() -> None:
    page = f'<p title="{PLANTED}">{PLANTED}</p><a href=" javascript:x" style="a">b</a>'
    assert len(Read(page).wrong) == 5
