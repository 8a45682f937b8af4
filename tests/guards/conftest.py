"""The place that attempts on stones left alone share: made once for a file, never changed."""

from collections.abc import Iterator

import pytest
import time_machine
from pytest_django.plugin import DjangoDbBlocker

from tests.guards.attacks.rows import NOW
from tests.guards.attacks.trying import undone
from tests.guards.attacks.world import World, make_world


@pytest.fixture(scope="module")
def barred_world(django_db_setup: None, django_db_blocker: DjangoDbBlocker) -> Iterator[World]:
    """One place for all attempts of this file, each of which is taken back."""
    with django_db_blocker.unblock(), undone():
        with time_machine.travel(NOW, tick=False):
            made = make_world()
        yield made
