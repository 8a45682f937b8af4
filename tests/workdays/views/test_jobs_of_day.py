"""Choosing jobs for a day: boxes for ready ones, reasons for the others, a suggestion."""

from collections.abc import Iterator

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from tests import factories
from tests.pages import log_in
from workdays.models import Job, Section, Workday

pytestmark = pytest.mark.django_db
NOW = factories.NOW


@pytest.fixture(autouse=True)
def _wednesday() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


@pytest.fixture
def day() -> Workday:
    row = factories.make_day(capacity=2)
    factories.make_permission(row.cemetery)
    return row


def make_job(day: Workday, priority: int = 30, seen: bool = True, minutes: int = 60) -> Job:
    section = Section.objects.filter(cemetery=day.cemetery).first()
    section = section or factories.make_section(day.cemetery)
    stone = factories.make_stone(section)
    if seen:
        factories.conclude(stone)
    return factories.make_job(stone, priority=priority, person_minutes=minutes)


def address(day: Workday) -> str:
    return reverse("day_jobs", args=[day.pk])


@pytest.fixture
def organiser(client: Client) -> Client:
    person = factories.make_staff()
    log_in(client, person)
    return client


def test_ready_jobs_have_boxes_and_the_others_a_reason(organiser: Client, day: Workday) -> None:
    ready = make_job(day)
    blocked = make_job(day, seen=False)
    page = organiser.get(address(day)).content.decode()
    assert f'id="job_{ready.pk}"' in page
    assert f'id="job_{blocked.pk}"' not in page
    assert "1 job is not ready on that date" in page
    assert "0 jobs chosen" in page
    assert "the day holds 11:00 hours." in page


def test_what_was_ticked_is_kept(organiser: Client, day: Workday) -> None:
    one, other = make_job(day), make_job(day)
    day.jobs.add(other)
    answer = organiser.post(address(day), {"jobs": [one.pk]})
    assert answer.headers["Location"] == reverse("day_desk", args=[day.pk])
    assert list(day.jobs.all()) == [one]
    assert f'value="{one.pk}" checked' in organiser.get(address(day)).content.decode()


def test_no_box_at_all_empties_the_day(organiser: Client, day: Workday) -> None:
    day.jobs.add(make_job(day))
    organiser.post(address(day), {})
    assert not day.jobs.exists()


def test_a_job_that_is_blocked_is_refused_and_the_other_boxes_stay(
    organiser: Client, day: Workday
) -> None:
    ready, blocked = make_job(day), make_job(day, seen=False)
    answer = organiser.post(address(day), {"jobs": [ready.pk, blocked.pk]})
    page = answer.content.decode()
    assert "Nothing is changed yet" in page
    assert f'value="{ready.pk}" checked' in page
    assert not day.jobs.exists()


@pytest.mark.parametrize("hostile", ["x", "-1", "9" * 30, "\x00", "1e3", "<script>", "²"])
def test_hostile_numbers_are_refused(organiser: Client, day: Workday, hostile: str) -> None:
    make_job(day)
    answer = organiser.post(address(day), {"jobs": [hostile]})
    assert answer.status_code == 200
    assert b"Nothing is changed yet" in answer.content
    assert b"<script>" not in answer.content.replace(b"<script src", b"")
    assert not day.jobs.exists()


def test_a_job_of_another_cemetery_is_no_choice(organiser: Client, day: Workday) -> None:
    stranger = factories.make_job()
    organiser.post(address(day), {"jobs": [stranger.pk]})
    assert not day.jobs.exists()


def test_the_suggestion_fills_the_day_by_priority_and_keeps_nothing(
    organiser: Client, day: Workday
) -> None:
    urgent, long, short = (
        make_job(day, priority=90, minutes=500),
        make_job(day, priority=80, minutes=300),
        make_job(day, priority=10, minutes=100),
    )
    page = organiser.get(address(day), {"suggest": ""}).content.decode()
    assert f'value="{urgent.pk}" checked' in page
    assert f'value="{short.pk}" checked' in page
    assert f'value="{long.pk}" checked' not in page
    assert not day.jobs.exists()


def test_a_suggestion_is_one_that_can_be_kept(organiser: Client, day: Workday) -> None:
    first, second = make_job(day, priority=10), make_job(day, priority=90)
    second.prerequisites.add(first)
    picked = organiser.get(address(day), {"suggest": ""}).context["choice"].chosen
    assert picked == {first.pk, second.pk}
    organiser.post(address(day), {"jobs": sorted(picked)})
    assert day.jobs.count() == 2


def test_the_page_takes_as_many_statements_for_many_jobs(
    organiser: Client, day: Workday, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    make_job(day)
    make_job(day, seen=False)
    with CaptureQueriesContext(connection) as captured:
        organiser.get(address(day), {"suggest": ""})
    for _ in range(10):
        make_job(day)
        make_job(day, seen=False)
    with django_assert_num_queries(len(captured)):
        organiser.get(address(day), {"suggest": ""})
