"""Organisers of the whole programme read the mail, without what opens doors."""

from datetime import timedelta

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from coordinator import outbox
from coordinator.adapter import REASON
from coordinator.links import Purpose, make
from coordinator.models import SentMessage, new_secret
from tests.factories import make_cemetery, make_staff
from tests.pages import log_in
from workdays.models import Membership

pytestmark = pytest.mark.django_db


def queue(key: str, text: str = "You are coming.", reason: str = "test") -> SentMessage:
    return outbox.queue(
        outbox.Letter(
            reason=reason,
            to_address="kim@volunteers.example",
            subject="A day",
            text=text,
            html=f"<p onclick='x()'>{text}</p><script>y()</script>",
        ),
        key=key,
    )


@pytest.fixture
def organiser(client: Client) -> Client:
    log_in(client, make_staff())
    return client


def test_the_list_takes_as_many_queries_for_twenty_as_for_ten(
    organiser: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for n in range(20):
        queue(f"k{n}")
    with django_assert_max_num_queries(8):
        page = organiser.get(reverse("mail"))
    assert page.content.decode().count("kim@volunteers.example") == 20


def test_the_list_can_be_narrowed_to_a_mailbox(organiser: Client) -> None:
    queue("a")
    assert "No message yet" in organiser.get(reverse("mail"), {"to": "other"}).content.decode()


def test_links_and_codes_are_hidden(organiser: Client) -> None:
    secret, token = new_secret(), make(Purpose("confirm", timedelta(days=1)), 1, "")
    row = queue("a", f"See http://x.example/you/{secret}/ or http://x.example/confirm/{token}/.")
    code = queue("b", "Type this code:\n\nABC-123\n\nIt works once.", REASON)
    for message in (row, code):
        for name in ("mail_message", "mail_html"):
            page = organiser.get(reverse(name, args=[message.pk])).content.decode()
            assert secret not in page
            assert token not in page
            assert "ABC-123" not in page


def test_nothing_in_a_mail_can_run(organiser: Client) -> None:
    row = queue("a")
    policy = organiser.get(reverse("mail_html", args=[row.pk]))["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "sandbox" in policy
    assert "script-src" not in policy


@pytest.mark.parametrize("role", [Membership.Role.SUPERVISOR, Membership.Role.ORGANISER])
def test_staff_of_one_cemetery_do_not_read_all_mail(client: Client, role: str) -> None:
    log_in(client, make_staff(role, make_cemetery()))
    row = queue("a")
    for path in (reverse("mail"), reverse("mail_message", args=[row.pk])):
        assert client.get(path).status_code == 403
