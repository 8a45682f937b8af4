"""Mail that a day has opened: only for whoever asked, once a day, and ended by one press.

The headers are read by the standard library's parser; RFC 8058 (2017), 3.1 and 3.2; RFC 2369, 3.2.
"""

from datetime import timedelta
from email import message_from_bytes, policy
from typing import Any

import pytest
from django.conf import settings
from django.core import mail
from django.test import Client
from django.urls import reverse

from coordinator import sweeping
from coordinator.models import AuditEntry, SentMessage
from tests import factories
from tests.pages import words
from workdays import invites
from workdays.actions.days import open_day
from workdays.actions.erasing import erase
from workdays.models import Cemetery, OpeningMail, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
NOW = factories.NOW
ONE_CLICK = {"List-Unsubscribe": "One-Click"}


@pytest.fixture
def place() -> Cemetery:
    """A cemetery with leave, a waiver, and one day that was open before."""
    cemetery = factories.make_cemetery()
    factories.make_permission(cemetery)
    factories.make_waiver()
    factories.make_day(cemetery)
    return cemetery


def opened(place: Cemetery) -> Workday:
    starts_at = factories.START + timedelta(days=7)
    day = factories.make_day(place, state=Workday.State.DRAFT, starts_at=starts_at)
    return open_day(day.pk, by=factories.make_staff(), now=NOW)


def told() -> list[str]:
    found = SentMessage.objects.filter(key__startswith="opened:")
    return sorted(found.values_list("to_address", flat=True))


def by_a_program(address: str) -> Any:
    """Post as a mail program does: no cookies, no log-in, no token; forgery is checked for."""
    return Client(enforce_csrf_checks=True).post(address, ONE_CLICK)


def test_nobody_hears_of_new_days_who_did_not_tick_it(client: Client, place: Cemetery) -> None:
    person, other = factories.make_person(), factories.make_cemetery()
    address = reverse("own_mails", args=[person.secret])
    page = words(client.get(address))
    assert "cannot be turned off" in page
    assert "checked" not in page
    opened(place)
    assert told() == []
    client.post(address, {"places": [place.pk]})
    client.post(address, {"places": [place.pk]})
    wish = OpeningMail.objects.get()
    assert (wish.cemetery, wish.agreed_at, wish.ended_at) == (place, NOW, None)
    assert "checked" in words(client.get(address))
    opened(place)
    assert told() == [person.email]
    assert client.post(address, {"places": [other.pk]}).status_code == 422  # no day was open there
    client.post(address, {})
    wish.refresh_from_db()
    assert wish.ended_at == NOW
    verbs = AuditEntry.objects.filter(thing_type="openingmail").values_list("verb", flat=True)
    assert sorted(verbs) == ["asked for mails of new days", "ended mails of new days"]


def test_each_is_told_of_a_day_once_however_often_it_opens(place: Cemetery) -> None:
    wishes = [factories.make_opening_mail(factories.make_person(), place) for _ in range(2)]
    factories.make_opening_mail(factories.make_person(), factories.make_cemetery())
    factories.make_opening_mail(factories.make_person(), place, ended_at=NOW)
    factories.make_opening_mail(factories.make_person(email=""), place)
    factories.make_opening_mail(factories.make_person(confirmed_at=None), place)
    gone = factories.make_opening_mail(factories.make_person(), place)
    erase(gone.person_id, now=NOW)
    day = opened(place)
    Workday.objects.filter(pk=day.pk).update(state=Workday.State.DRAFT)
    open_day(day.pk, by=factories.make_staff(), now=NOW)
    assert told() == sorted(wish.person.email for wish in wishes)


def test_the_headers_end_it_by_one_press_and_the_body_says_why(place: Cemetery) -> None:
    wish = factories.make_opening_mail(factories.make_person(), place)
    opened(place)
    sweeping.sweep(NOW)
    raw = mail.outbox[-1].message().as_bytes()
    parsed = message_from_bytes(raw, policy=policy.default)
    address = settings.SITE_URL + reverse("no_more", args=[wish.secret])
    [held] = parsed.get_all("List-Unsubscribe", [])
    assert held.strip() == f"<{address}>"  # a long one stands on a line of its own
    assert parsed.get_all("List-Unsubscribe-Post") == ["List-Unsubscribe=One-Click"]
    body = parsed.get_body(("plain",))
    assert body is not None
    assert "because you asked on your own page, on 6 May 2026" in body.get_content()
    assert address in body.get_content()


def test_mail_about_ones_own_days_has_no_such_header(place: Cemetery) -> None:
    row = factories.make_sign_up(place.days.earliest("pk"))
    invites.invite(row.day, row.person.email, now=NOW)
    sweeping.sweep(NOW)
    assert "List-Unsubscribe" not in mail.outbox[-1].message()


def test_a_look_ends_nothing_a_press_ends_it_and_a_second_one_is_fine(
    client: Client, place: Cemetery
) -> None:
    wish = factories.make_opening_mail(factories.make_person(), place)
    other = factories.make_opening_mail(wish.person, factories.make_cemetery())
    address = reverse("no_more", args=[wish.secret])
    assert "Do you want no more mail" in words(client.get(address))
    assert wish.person.name not in words(client.get(address))
    for ended_at in (None, NOW, NOW):
        wish.refresh_from_db()
        assert wish.ended_at == ended_at
        assert "You get no more mail" in words(by_a_program(address))
    other.refresh_from_db()
    assert other.ended_at is None
    assert AuditEntry.objects.filter(verb="ended mails of new days").count() == 1
    opened(place)
    assert told() == []


@pytest.mark.parametrize("secret", ["made-up", "own"])
def test_a_made_up_address_ends_nothing(secret: str, place: Cemetery) -> None:
    wish = factories.make_opening_mail(factories.make_person(), place)
    made_up = wish.person.secret if secret == "own" else secret
    assert by_a_program(reverse("no_more", args=[made_up])).status_code == 404
    assert Client().get(reverse("own_page", args=[wish.secret])).status_code == 404
