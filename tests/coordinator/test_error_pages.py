"""What people read when a page is not there, not theirs, or broken."""

from typing import Any

import pytest
from django.test import Client, RequestFactory
from django.views import defaults

from tests.factories import make_staff
from workdays.models import Membership

pytestmark = pytest.mark.django_db


def says(response: Any, status: int, words: str) -> bool:
    html = response.content.decode()
    return response.status_code == status and html.count("<h1>") == 1 and words in html


def test_a_page_that_is_not_there_says_what_to_do(client: Client) -> None:
    assert says(client.get("/no-such-page/"), 404, "copy it from the mail once more")


def test_a_page_that_is_not_yours_says_why(client: Client) -> None:
    someone = make_staff(Membership.Role.SUPERVISOR)
    assert someone.user is not None
    client.force_login(someone.user)
    assert says(client.get("/bookings/"), 403, "This page is for organisers.")


def test_a_form_without_its_token_says_send_it_again() -> None:
    client = Client(enforce_csrf_checks=True)
    assert says(client.post("/clinics/ask/"), 403, "Please send it once more")


def test_a_request_that_cannot_be_read_says_so() -> None:
    response = defaults.bad_request(RequestFactory().get("/"), ValueError("too large"))
    assert says(response, 400, "What was sent could not be read")


def test_a_fault_of_ours_is_a_page_that_needs_nothing_of_the_site() -> None:
    response = defaults.server_error(RequestFactory().get("/"))
    assert says(response, 500, "Something went wrong here, not with you")
