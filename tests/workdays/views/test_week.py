"""The first page: what it says to whom, and what it costs."""

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from coordinator.models import Heartbeat, Person, SentMessage
from tests import factories
from tests.pages import log_in
from training.models import HoursEntry
from workdays.actions.surveys import record_survey
from workdays.models import (
    Booking,
    Call,
    Cemetery,
    Crew,
    CrewJob,
    CrewPlan,
    Forecast,
    Membership,
    Notice,
    SignUp,
    Workday,
)

pytestmark = pytest.mark.django_db
NOW = factories.NOW
SUPERVISOR = Membership.Role.SUPERVISOR


@pytest.fixture(autouse=True)
def _wednesday() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        Heartbeat.objects.create(name="worker", at=NOW)
        yield


def page_for(client: Client, person: Person) -> str:
    log_in(client, person)
    answer = client.get(reverse("week"))
    assert answer.status_code == 200
    return answer.content.decode()


def set_day(**overrides: Any) -> Workday:
    """Make a day that needs nothing: enough people, waivers, jobs, a plan, a call."""
    day = factories.make_day(**overrides)
    waiver = factories.make_waiver()
    for _ in range(4):
        factories.sign(factories.make_sign_up(day).person, waiver)
    day.jobs.add(factories.make_job())
    CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED, published_at=NOW)
    stands(day)
    return day


def stands(day: Workday) -> Call:
    return Call.objects.create(
        day=day,
        decision=Call.Decision.STANDS,
        reason="Dry.",
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        by=factories.make_person(),
    )


def test_nothing_to_do_is_said_kindly(client: Client) -> None:
    page = page_for(client, factories.make_staff())
    assert "Nothing needs you this week" in page
    assert "Enjoy the quiet" in page


def test_a_day_where_all_is_set_is_named_and_needs_nothing(client: Client) -> None:
    day = set_day()
    page = page_for(client, factories.make_staff())
    assert "Nothing needs you this week" in page
    assert f"{day.cemetery.name}, 9:00 to 15:00: 4 coming, 16 places left" in page
    assert "Nothing is missing." in page


def test_an_organiser_reads_what_a_day_needs(client: Client) -> None:
    day = factories.make_day()
    factories.make_sign_up(day, question_open=True)
    factories.make_sign_up(day, state=SignUp.State.UNCONFIRMED, held_until=NOW + timedelta(hours=9))
    Notice.objects.create(day=day, person=factories.make_person(), reason="moved")
    page = page_for(client, factories.make_staff())
    for sentence in (
        "Make the weather call for Saturday by 18:00.",
        "One person has not answered the mailed link.",
        "Their places are held until tonight.",
        "One person who comes has no valid waiver.",
        "One person has not said yes to the new date.",
        "No job is chosen for this day.",
        "4 are the fewest for this day.",
        "1 of 1 have not said that they saw the notice.",
    ):
        assert sentence in page
    assert "Seven things need you this week" in page


def test_a_call_holds_for_the_start_it_was_made_for_only(client: Client) -> None:
    day = set_day()
    Workday.objects.filter(pk=day.pk).update(starts_at=day.starts_at + timedelta(hours=1))
    assert "Make the weather call" in page_for(client, factories.make_staff())


def cold(day: Workday) -> None:
    """Store a forecast of 2 C without thunder for the day, from 24 h before to 48 h after."""
    first = day.starts_at - timedelta(hours=24)
    Forecast.objects.create(
        day=day,
        source=Forecast.Source.BY_HAND,
        hours=[
            {
                "at": (first + timedelta(hours=n)).isoformat(),
                "temperature_c": "2",
                "humidity_percent": "50",
                "wind_kmh": "5",
                "gust_kmh": "8",
                "rain_mm": "0",
                "rain_chance_percent": "0",
                "thunder": "no",
            }
            for n in range(79)
        ],
    )


def test_the_forecast_stands_beside_the_call_for_the_work_that_is_meant(client: Client) -> None:
    day = factories.make_day()
    day.jobs.add(factories.make_job())
    cold(day)
    page = page_for(client, factories.make_staff())
    assert '<span class="mark mark-off">off</span>' in page
    day.jobs.set([factories.make_job(kind_key="survey")])
    assert '<span class="mark mark-off">off</span>' not in page_for(client, factories.make_staff())


def test_a_plan_that_waits_is_read_and_published(client: Client) -> None:
    day = set_day()
    CrewPlan.objects.create(day=day)
    page = page_for(client, factories.make_staff())
    assert "A newer crew plan is ready: 0 crews, 0 jobs." in page
    assert "Read and publish" in page


def test_a_published_plan_that_lost_a_job_is_said_until_it_is_published_anew(
    client: Client,
) -> None:
    day = set_day()
    plan = day.plans.get()
    job = day.jobs.get()
    block = day.blocks.order_by("starts_at")[0]
    crew = Crew.objects.create(plan=plan, block=block, name="A", lead=factories.make_person())
    times = {"starts_at": block.starts_at, "ends_at": block.ends_at}
    CrewJob.objects.create(crew=crew, job=job, **times)
    CrewPlan.objects.filter(pk=plan.pk).update(published_at=NOW - timedelta(days=1))
    ruth = factories.make_staff()
    assert "left the published plan" not in page_for(client, ruth)
    assert job.stone is not None
    record_survey(job.stone, {"on": NOW.date(), "signs": ["sugaring"]}, by=ruth, now=NOW)
    day.jobs.set([factories.make_job()])
    page = page_for(client, ruth)
    assert "One job has left the published plan: not to be done that day any more." in page
    assert "Plan again" in page
    CrewPlan.objects.filter(pk=plan.pk).update(published_at=timezone.now() + timedelta(minutes=1))
    assert "left the published plan" not in page_for(client, ruth)


def test_a_booking_and_a_permission_wait_for_an_organiser(client: Client) -> None:
    host = factories.make_host(name="Mill Lane Society")
    Booking.objects.create(
        host=host, skill=factories.skill("cleaning"), wished_on=date(2026, 6, 13), people=20
    )
    job = factories.make_job()
    factories.make_permission(job.cemetery, "cleaning", ends_on=date(2026, 7, 5))
    page = page_for(client, factories.make_staff())
    assert "Mill Lane Society asks for a clinic on 13 June for about 20 people." in page
    assert f"Permission for gentle cleaning at {job.cemetery.name} ends on 5 July" in page
    assert "1 job waits for it." in page


def leave_is_said(client: Client, cemetery: Cemetery) -> bool:
    return "Permission for" in page_for(client, factories.make_staff(cemetery=cemetery))


def test_a_permission_is_said_within_sixty_days_while_jobs_wait(client: Client) -> None:
    cemetery = factories.make_job().cemetery
    factories.make_permission(cemetery, "raking", ends_on=date(2026, 5, 31))
    assert not leave_is_said(client, cemetery)
    factories.make_permission(cemetery, "cleaning", ends_on=date(2026, 7, 6))
    assert not leave_is_said(client, cemetery)
    cemetery.permissions.update(ends_on=date(2026, 7, 5))
    assert leave_is_said(client, cemetery)
    factories.make_permission(cemetery, "cleaning", ends_on=date(2027, 5, 31))
    assert not leave_is_said(client, cemetery)


def test_a_worker_without_a_sign_and_mail_that_failed_are_said(client: Client) -> None:
    Heartbeat.objects.update(at=NOW - timedelta(minutes=6))
    SentMessage.objects.create(
        key="k",
        reason="r",
        to_address="a@b.example",
        subject="s",
        text="t",
        message_id="<1@x>",
        state=SentMessage.State.FAILED,
    )
    page = page_for(client, factories.make_staff())
    assert "the worker has given no sign" in page
    assert "One mail was not taken by the receiver." in page


def hours(supervisor: Person, cemetery: Cemetery) -> HoursEntry:
    return HoursEntry.objects.create(
        person=factories.make_person(),
        skill=factories.skill("cleaning"),
        day_number=1,
        block_number=1,
        cemetery_number=cemetery.pk,
        place=cemetery.name,
        on=date(2026, 5, 2),
        minutes=180,
        supervisor=supervisor,
    )


def test_a_supervisor_sees_only_what_is_theirs(client: Client) -> None:
    here, elsewhere = factories.make_day(), factories.make_day()
    ben = factories.make_staff(SUPERVISOR, here.cemetery)
    hours(ben, here.cemetery)
    hours(factories.make_person(), here.cemetery)
    Booking.objects.create(
        host=factories.make_host(),
        skill=factories.skill("cleaning"),
        wished_on=date(2026, 6, 13),
        people=20,
    )
    page = page_for(client, ben)
    assert "One thing needs you this week" in page
    assert "3 hours of one trainee wait for your countersign." in page
    assert reverse("day_desk", args=[here.pk]) in page
    assert reverse("day_desk", args=[elsewhere.pk]) not in page
    assert "asks for a clinic" not in page


def test_an_organiser_sees_the_hours_of_everybody(client: Client) -> None:
    cemetery = factories.make_cemetery()
    hours(factories.make_person(), cemetery)
    hours(factories.make_person(), cemetery)
    page = page_for(client, factories.make_staff(cemetery=cemetery))
    assert "6 hours of two trainees wait for a countersign." in page


def test_a_day_that_nobody_closed_is_said_today(client: Client) -> None:
    day = set_day(starts_at=factories.START - timedelta(days=7))
    page = page_for(client, factories.make_staff(SUPERVISOR, day.cemetery))
    assert "One thing needs you today" in page
    assert "Saturday 2 May at" in page
    Workday.objects.update(state=Workday.State.CLOSED)
    assert "Nothing needs you" in page_for(client, factories.make_staff())


def test_a_name_that_is_code_is_shown_as_words(client: Client) -> None:
    set_day(cemetery=factories.make_cemetery(name="<script>x</script>"))
    assert "<script>x" not in page_for(client, factories.make_staff())


def test_nobody_without_a_role_reads_it(client: Client) -> None:
    assert client.get(reverse("week")).status_code == 302
    client.force_login(factories.make_user())
    assert client.get(reverse("week")).status_code == 403


def test_the_page_takes_as_many_statements_for_many_days(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    person = factories.make_staff()

    def busy() -> None:
        day = factories.make_day()
        factories.make_waiver()
        factories.sign(factories.make_sign_up(day).person)
        hours(person, day.cemetery)
        cold(day)
        job = factories.make_job()
        day.jobs.add(job)
        factories.make_permission(job.cemetery, ends_on=date(2026, 5, 31))
        Booking.objects.create(
            host=factories.make_host(),
            skill=factories.skill("cleaning"),
            wished_on=date(2026, 6, 13),
            people=20,
        )

    busy()
    page_for(client, person)
    with CaptureQueriesContext(connection) as captured:
        client.get(reverse("week"))
    for _ in range(6):
        busy()
    with django_assert_num_queries(len(captured)):
        client.get(reverse("week"))
