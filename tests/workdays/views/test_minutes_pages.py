"""The page of minutes, and the form that notes them when a day is closed."""

from datetime import timedelta

import pytest
import time_machine
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from tests import factories
from tests.factories import START
from tests.pages import log_in
from tests.workdays.actions.test_minutes import note, row_of, to_clean
from tests.workdays.actions.test_roll import worked_day
from workdays.models import Cemetery, Job, JobTime

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
PAGE = "/ground/alder-hill/minutes/"


def test_the_page_tells_what_is_known_and_one_press_uses_it(client: Client, hill: Cemetery) -> None:
    assert "No job is to be done here" in client.get(PAGE).content.decode()
    note(hill, 41, 42, 44, 45, 400)
    job = factories.make_job(to_clean(hill))
    page = client.get(PAGE).content.decode()
    assert "Alder Hill: minutes are learned from 5 days" in page
    assert "44 min from 5 days" in page
    assert "5 days, 5 jobs noted" in page
    assert "Give 44 min to 1 job<" in page
    answer = client.post(PAGE, {"work": row_of(hill).key}, follow=True)
    assert "1 job has the minutes." in answer.content.decode()
    listed = client.get("/ground/alder-hill/backlog/").content.decode()
    assert "44 min, 2 to 3 people" in listed
    assert "(learned from 5 days)" in listed
    Job.objects.filter(pk=job.pk).update(learned_days=None)
    assert "(estimate)" in client.get("/ground/alder-hill/backlog/").content.decode()


@pytest.mark.parametrize("work", ["", "no-such", "\x00", "1e309", "9" * 5000])
def test_work_that_is_not_there_is_said(client: Client, hill: Cemetery, work: str) -> None:
    answer = client.post(PAGE, {"work": work})
    assert answer.status_code == 422
    assert "No time was noted for this work; nothing is changed." in answer.content.decode()


def test_as_many_statements_for_many_jobs_as_for_few(client: Client, hill: Cemetery) -> None:
    taken = []
    for count in (2, 12):
        note(hill, *range(30, 30 + count))
        for _ in range(count):
            factories.make_job(to_clean(hill))
        with CaptureQueriesContext(connection) as found:
            client.get(PAGE)
        taken.append(len(found))
    assert taken[1] <= taken[0]


def test_closing_a_day_proposes_the_planned_minutes_and_keeps_what_was_typed(
    client: Client,
) -> None:
    day, _, _, job = worked_day()
    address = f"/days/{day.pk}/close/"
    with time_machine.travel(START + timedelta(hours=7), tick=False):
        log_in(client, factories.make_staff())
        page = client.get(address)
        assert page.content.decode().count("csrfmiddlewaretoken") == 2  # this form, and Sign out
        form = page.context["form"]
        assert form[f"took_{job.pk}"].initial == 240, "two people for two hours"
        for wrong in ("-5", "0", "many", "\x00", "9" * 30):
            answer = client.post(address, {f"left_{job.pk}": "0", f"took_{job.pk}": wrong})
            assert answer.status_code == 422
            assert JobTime.objects.count() == 0
        client.post(address, {f"left_{job.pk}": "0", f"took_{job.pk}": "75"})
    assert JobTime.objects.get().person_minutes == 75


def test_a_day_is_closed_without_any_minutes_noted(client: Client) -> None:
    day, _, _, job = worked_day()
    with time_machine.travel(START + timedelta(hours=7), tick=False):
        log_in(client, factories.make_staff())
        answer = client.post(f"/days/{day.pk}/close/", {f"took_{job.pk}": ""})
    assert answer.status_code == 302
    job.refresh_from_db()
    assert job.state == Job.State.DONE
    assert JobTime.objects.count() == 0
