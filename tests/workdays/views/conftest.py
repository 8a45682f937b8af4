"""The clock of page tests, and a cemetery whose organiser is logged in."""

from collections.abc import Iterator

import pytest
import time_machine
from django.test import Client

from tests.factories import NOW, make_cemetery, make_permission, make_staff
from tests.pages import log_in
from workdays.models import Cemetery


@pytest.fixture
def at_now() -> Iterator[None]:
    """Stop the clock at Wednesday 6 May 2026, 10:00 in Detroit."""
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def hill(client: Client) -> Cemetery:
    """Make a cemetery whose owner allows all work, and log its organiser in."""
    log_in(client, make_staff())
    place = make_cemetery(name="Alder Hill", slug="alder-hill")
    make_permission(place)
    return place
