"""The foot of a page leads organisers to what they open less often."""

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import Person
from tests.factories import make_cemetery, make_staff
from tests.pages import log_in
from workdays.models import Membership

pytestmark = pytest.mark.django_db


def foot(client: Client, person: Person) -> str:
    log_in(client, person)
    return client.get(reverse("week")).content.decode().rpartition("<footer")[2]


def test_an_organiser_of_the_programme_finds_mail_and_requests(client: Client) -> None:
    page = foot(client, make_staff())
    assert reverse("mail") in page
    assert reverse("bookings") in page


def test_an_organiser_of_one_place_finds_requests_only(client: Client) -> None:
    page = foot(client, make_staff(cemetery=make_cemetery()))
    assert reverse("bookings") in page
    assert reverse("mail") not in page


def test_a_supervisor_and_the_public_find_neither(client: Client) -> None:
    supervisor = foot(client, make_staff(Membership.Role.SUPERVISOR))
    client.logout()
    for page in (supervisor, client.get("/").content.decode()):
        assert reverse("bookings") not in page
        assert reverse("mail") not in page
