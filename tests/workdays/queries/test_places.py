"""Counting places: who holds one and who does not."""

from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import factories
from workdays.models import Party, SignUp, Workday
from workdays.queries.places import places, places_of

pytestmark = pytest.mark.django_db
NOW = factories.NOW


def test_a_place_is_held_until_its_moment_and_free_after() -> None:
    day = factories.make_day(capacity=5)
    factories.make_sign_up(day, state=SignUp.State.UNCONFIRMED, held_until=NOW + timedelta(hours=1))
    factories.make_sign_up(day, state=SignUp.State.OFFERED, held_until=NOW)
    assert places(day, now=NOW).left == 4


def test_those_who_withdrew_or_wait_take_no_place() -> None:
    day = factories.make_day(capacity=5)
    for state in (SignUp.State.WITHDRAWN, SignUp.State.LAPSED, SignUp.State.WAITING):
        factories.make_sign_up(day, state=state)
    factories.make_sign_up(day)
    Party.objects.create(day=day, name="Troop 4", reserved=2)
    found = places(day, now=NOW)
    assert (found.coming, found.waiting, found.left) == (1, 1, 2)


def test_many_days_take_as_many_statements_as_one() -> None:
    for _ in range(4):
        factories.make_sign_up(factories.make_day())
    days = list(Workday.objects.all())
    with CaptureQueriesContext(
        connection,
    ) as captured:
        found = places_of(days, now=NOW)
    assert len(captured) == 2
    assert [p.coming for p in found.values()] == [1, 1, 1, 1]
