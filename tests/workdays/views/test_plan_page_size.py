"""The page of a plan of sixty people: how much it weighs, how often it asks the database."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories
from tests.workdays.test_drafting import workable_day
from tests.workdays.views.test_plan_pages import staff
from workdays import drafting

pytestmark = pytest.mark.django_db
WHO_IS_HERE = 5  # the session, the user, the day, the person, the roles: as on each page of staff


def test_the_plan_of_sixty_people_is_light_and_asks_no_more_than_a_small_one() -> None:
    day, people, _ = workable_day(jobs=75)
    for number in range(56):
        person = factories.make_person(may_lead=number % 4 == 0)
        factories.make_sign_up(day, person)
        factories.sign(person, people[0].signatures.get().waiver)
        factories.sign_off(person, "cleaning")
    drafting.redraft(day, rounds=1)
    client, _ = staff(day)
    address = reverse("plan", args=[day.pk])
    with CaptureQueriesContext(connection) as asked:
        page = client.get(address)
    assert page.content.decode().count("?take=") > 150
    read = [one for one in asked.captured_queries if one["sql"].startswith("SELECT")]
    assert len(page.content) <= 60_000
    assert len(read) <= WHO_IS_HERE + 12
