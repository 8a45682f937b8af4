"""Nobody can have us mail their words to a stranger: what a visitor types is in no mail from here.

Each form that a visitor can reach is sent with a marker in every field for words and a mailbox
that nobody has confirmed; the mails that this queues are read.
"""

import re
from collections.abc import Iterator
from itertools import count
from typing import Any

import pytest
import time_machine
from django import forms
from django.test import Client, override_settings
from django.urls import reverse
from pytest_django.plugin import DjangoDbBlocker

from coordinator.models import SentMessage
from tests.factories import NOW
from tests.guards.access_world import World, make_world
from tests.guards.attacks.pages import form_fields, forms_of
from tests.guards.attacks.trying import undone
from tests.guards.test_access_table import ROLES, SHOWN, TABLE
from workdays.forms.fields import LineField, ParagraphField, TelephoneField

pytestmark = pytest.mark.django_db
NOT_SAID = re.compile(r"_relation|^with[3-9]")
MARKER = "Pills at pills dot example"
SEEN_BY_ALL = [
    name
    for name, row in TABLE.items()
    if row.expected[ROLES.index("nobody")] == SHOWN and not row.press
]
# These mail somebody when they are sent well: were they to stop, this guard would see nothing.
MAILING = {"sign_up", "group_sign_up", "ask_for_places", "ask_for_clinic"}


@pytest.fixture(scope="module")
def world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """One world for all forms, each of which is taken back."""
    with django_db_blocker.unblock(), undone(), time_machine.travel(NOW, tick=False):
        yield make_world()


def typed(page: Any, world: World) -> dict[str, str]:
    """Return what a visitor types into the fields of a page: the marker wherever words go."""
    said, mailboxes = {}, count()
    for form in forms_of(page):
        for key, field in form.fields.items():
            if isinstance(field, forms.EmailField):
                said[form.add_prefix(key)] = f"stranger{next(mailboxes)}@elsewhere.example"
            elif isinstance(field, TelephoneField):
                said[form.add_prefix(key)] = "555-0177"
            elif isinstance(field, LineField | ParagraphField):
                known = key == "typed_name" and "name" not in form.fields
                said[form.add_prefix(key)] = world.volunteer.name if known else MARKER
            elif "born_on" in key or key.endswith(("_signs", "_agrees")):
                said[form.add_prefix(key)] = ""
            elif key == "places":
                said[form.add_prefix(key)] = "3"
    # Two adults come along; more would not fit everywhere.
    return {name: "" if NOT_SAID.search(name) else value for name, value in said.items()}


@pytest.mark.parametrize("name", SEEN_BY_ALL)
@override_settings(FORM_LEAST_SECONDS=0)
def test_typed_words_are_in_no_mail(name: str, world: World) -> None:
    path, client = reverse(name, args=TABLE[name].args(world)), Client()
    with undone():
        page = client.get(path)
        sent = {key: found[0] for key, found in form_fields(client, path).items()}
        sent |= typed(page, world)
        before = set(SentMessage.objects.values_list("pk", flat=True))
        client.post(path, {key: value for key, value in sent.items() if value is not None})
        mails = list(SentMessage.objects.exclude(pk__in=before))
        for mail in mails:
            assert MARKER not in mail.subject + mail.text + mail.html
    assert mails or name not in MAILING
