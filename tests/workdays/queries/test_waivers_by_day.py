"""Reading waivers of many days gives what reading them day by day gives."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import factories
from workdays.models import Waiver
from workdays.queries.waivers import people_with_waiver, people_with_waiver_by_day

pytestmark = pytest.mark.django_db
NEW = Waiver.Validity.NEW_VERSION


def test_many_days_read_together_as_one_by_one() -> None:
    here, there = factories.make_day(), factories.make_day()
    old = factories.make_waiver(validity=NEW)
    general = factories.make_waiver(validity=NEW)
    own = factories.make_waiver(cemetery=here.cemetery)
    people = [factories.make_person() for _ in range(9)]
    for person, waiver in zip(people, (old, general, own), strict=False):
        factories.sign(person, waiver)
    factories.sign(people[3], own, valid_until=date(2026, 5, 8))
    factories.sign(people[4], own, valid_until=date(2026, 5, 9))
    factories.sign(people[5], own, confirmed_at=None)
    factories.sign(people[6], own, withdrawn_at=factories.NOW)
    factories.sign(people[7], general)
    factories.sign(people[7], own)
    ids = [person.pk for person in people]
    with CaptureQueriesContext(connection) as captured:
        found = people_with_waiver_by_day({here: ids, there: ids})
    assert len(captured) == 3
    assert found == {day.pk: set(people_with_waiver(day, ids)) for day in (here, there)}
    assert found[here.pk] == {people[n].pk for n in (2, 4, 7)}
    assert found[there.pk] == {people[n].pk for n in (1, 7)}


def test_without_a_published_waiver_nobody_has_signed() -> None:
    day, person = factories.make_day(), factories.make_person()
    factories.sign(person, factories.make_waiver(published_at=None))
    assert people_with_waiver_by_day({day: [person.pk]}) == {day.pk: set()}
    assert people_with_waiver(day, [person.pk]) == frozenset()


def test_signed_late_in_the_evening_of_a_day_it_holds_on_that_day() -> None:
    day, person = factories.make_day(), factories.make_person()
    at = datetime(2026, 5, 9, 23, 30, tzinfo=day.cemetery.zone)
    assert at.astimezone(UTC).date() == date(2026, 5, 10)
    factories.sign(person, factories.make_waiver(), signed_at=at)
    assert people_with_waiver(day, [person.pk]) == {person.pk}


@pytest.mark.parametrize(("later", "holds"), [(timedelta(days=-2), False), (timedelta(1), True)])
def test_a_version_published_before_a_day_lapses_the_older_one_after_it_does_not(
    later: timedelta, holds: bool
) -> None:
    day, person = factories.make_day(), factories.make_person()
    factories.sign(person, factories.make_waiver(validity=NEW, version=1))
    factories.make_waiver(validity=NEW, version=2, published_at=day.ends_at + later)
    assert bool(people_with_waiver(day, [person.pk])) is holds
    factories.make_waiver(cemetery=day.cemetery, published_at=day.ends_at + later)
    assert bool(people_with_waiver(day, [person.pk])) is holds
