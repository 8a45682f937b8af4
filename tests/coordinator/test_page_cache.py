"""A public page is kept for a moment for strangers, and for nobody else."""

from collections.abc import Iterator

import pytest
from django.core.cache import caches
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries, Settings

from tests.factories import make_day, make_staff
from workdays.models import Workday

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def kept(settings: Settings) -> Iterator[None]:
    settings.PUBLIC_PAGE_SECONDS = 60
    caches["pages"].clear()
    yield
    caches["pages"].clear()


def test_a_stranger_sees_the_page_of_a_moment_ago_without_asking_the_database(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    day = make_day(bring="gloves")
    first = client.get(day.get_absolute_url())
    Workday.objects.filter(pk=day.pk).update(bring="a bucket")
    with django_assert_num_queries(0):
        second = client.get(day.get_absolute_url())
    assert b"Gloves" in first.content
    assert second.content == first.content
    assert second.headers["Content-Type"] == first.headers["Content-Type"]
    assert second.headers["Content-Security-Policy"]


def test_whoever_is_logged_in_sees_it_as_it_is_and_it_is_not_kept_for_others(
    client: Client,
) -> None:
    day = make_day(bring="gloves")
    client.get(day.get_absolute_url())
    Workday.objects.filter(pk=day.pk).update(bring="a bucket")
    staff = Client()
    staff.force_login(make_staff().user)  # type: ignore[arg-type]  # staff have a log-in
    assert b"A bucket" in staff.get(day.get_absolute_url()).content
    assert b"Log out" not in client.get(day.get_absolute_url()).content


def test_a_page_that_is_not_there_is_not_kept(client: Client) -> None:
    address = reverse("day", args=[77])
    assert client.get(address).status_code == 404
    assert caches["pages"].get(address) is None
