"""The page that erases, and what an organiser sees of the erased."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator.models import AuditEntry, Person
from tests import factories
from tests.pages import words
from workdays.actions.erasing import erase
from workdays.models import Kept, SignUp

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


def test_a_look_changes_nothing_a_press_erases_and_the_link_dies(client: Client) -> None:
    row = factories.make_sign_up(factories.make_day(), factories.make_person(name="Ana Costa"))
    factories.sign(row.person)
    address = reverse("own_erase", args=[row.person.secret])
    page = words(client.get(address))
    assert "Ana Costa, do you want to be erased?" in page
    assert "Saturday 9 May" in page
    assert "Ana Costa: until 6 May 2032" in page
    assert Person.objects.filter(erased_at__isnull=False).count() == 0
    assert client.post(address, follow=True).redirect_chain == [(reverse("erased"), 302)]
    assert SignUp.objects.get().state == SignUp.State.WITHDRAWN
    assert client.post(address).status_code == 404
    assert client.get(reverse("own_page", args=[row.person.secret])).status_code == 404


def test_staff_read_why_not_and_find_no_button(client: Client) -> None:
    organiser = factories.make_staff()
    address = reverse("own_erase", args=[organiser.secret])
    assert "You serve as organiser" in words(client.get(address))
    assert b"Erase me now" not in client.get(address).content
    assert "You serve as organiser" in words(client.post(address, follow=True))


def test_what_is_kept_opens_for_a_claim_only_and_that_is_noted(client: Client) -> None:
    person, organiser = factories.make_person(name="Ana Costa"), factories.make_staff()
    factories.sign(person, typed_name="Ana C. Costa")
    erase(person.pk, now=factories.NOW)
    assert organiser.user is not None
    client.force_login(organiser.user)
    kept = Kept.objects.get()
    for address in (reverse("people"), reverse("kept_list"), reverse("kept_one", args=[kept.pk])):
        assert b"Costa" not in client.get(address).content
    assert client.get(reverse("person", args=[person.pk])).status_code == 404
    address = reverse("kept_one", args=[kept.pk])
    refused = words(client.post(address))
    assert "stays shut" in refused
    assert "Costa" not in refused
    opened = words(client.post(address, {"claim": "on"}))
    assert "Ana C. Costa" in opened
    noted = AuditEntry.objects.get(verb="opened for a claim")
    assert (noted.actor, noted.detail) == (organiser, {"person": person.pk})


def test_more_days_children_and_signatures_take_no_more_statements(client: Client) -> None:
    person = factories.make_person()
    counts = []
    for _ in range(2):
        for _ in range(3):
            day = factories.make_day()
            child = factories.make_person(is_adult=False)
            factories.make_sign_up(day, person)
            factories.make_sign_up(day, child, guardian=person)
            factories.sign(child, signed_by=person, role="guardian")
            factories.make_group(day, leader=person)
        with CaptureQueriesContext(connection) as found:
            client.get(reverse("own_erase", args=[person.secret]))
        counts.append(len(found))
    assert counts[0] == counts[1]
