"""Work that no day closed is noted as done, and what waits for it counts from then."""

from datetime import UTC, date, datetime

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import AuditEntry
from tests import factories
from tests.pages import log_in
from workdays.models import Job, Survey

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def job(client: Client) -> Job:
    log_in(client, factories.make_staff())
    found = factories.make_job()
    factories.make_permission(found.cemetery)
    return found


def note(client: Client, job: Job, **typed: str) -> str:
    answer = client.post(reverse("job_done", args=[job.pk]), {"on": "2026-05-05"} | typed)
    assert answer.status_code in (200, 302)
    return answer.content.decode()


def test_it_is_done_at_the_time_that_was_told_and_the_words_are_kept(
    client: Client, job: Job
) -> None:
    after = factories.make_job(job.stone, "recording", wait_hours=24)
    after.prerequisites.add(job)
    note(client, job, at="16:00", words="The conservator came alone")
    job.refresh_from_db()
    assert job.state == Job.State.DONE
    assert job.done_at == datetime(2026, 5, 5, 20, 0, tzinfo=UTC)
    assert job.notes == "The conservator came alone"
    assert AuditEntry.objects.filter(verb="noted done", thing_id=str(job.pk)).exists()
    page = client.get(reverse("job", args=[after.pk])).content.decode()
    assert "must rest until Wednesday 6 May, 16:00" in page


def test_it_leaves_the_days_it_was_meant_for(client: Client, job: Job) -> None:
    day = factories.make_day(job.cemetery)
    day.jobs.add(job)
    note(client, job)
    assert not day.jobs.exists()


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"on": "2026-05-07"}, "That is still to come"),
        ({"on": "yesterday"}, "Write the date like 2026-05-09."),
        ({"on": ""}, "This field is required."),
        ({"at": "25:00"}, "Write the time like 12:00."),
        ({"words": "x" * 251}, "at most 250 characters"),
    ],
)
def test_what_cannot_be_gets_a_sentence_and_changes_nothing(
    client: Client, job: Job, typed: dict[str, str], sentence: str
) -> None:
    assert sentence in note(client, job, **typed)
    job.refresh_from_db()
    assert job.state == Job.State.OPEN


def test_a_second_press_is_told_so(client: Client, job: Job) -> None:
    note(client, job)
    assert "not to be done any more" in note(client, job)


def test_a_job_that_is_to_do_again_is_begun_anew(client: Client, job: Job) -> None:
    note(client, job)
    path = reverse("job_edit", args=[job.pk])
    typed = {"kind": job.kind_id, "stone": str(job.stone), "priority": 30, "person_minutes": 60}
    typed |= {"fewest": 2, "most": 3, "lifters": 0}
    client.post(path, typed | {"state": Job.State.OPEN})
    job.refresh_from_db()
    assert (job.state, job.done_at) == (Job.State.OPEN, None)
    assert job.minutes_to_do == 60
    page = client.get(reverse("job", args=[job.pk])).content.decode()
    assert "person-minutes left" not in page
    client.post(path, typed | {"state": Job.State.DONE})
    job.refresh_from_db()
    assert (job.done_at, job.minutes_to_do) == (factories.NOW, 0)
    assert needs_of(job) == []


def needs_of(job: Job) -> list[str]:
    assert job.stone is not None
    job.stone.refresh_from_db()
    assert job.stone.conclusion is not None
    return list(job.stone.conclusion.needs)


def test_what_was_done_is_taken_off_what_the_stone_needs(client: Client, job: Job) -> None:
    assert job.stone is not None
    other = factories.make_job(job.stone)
    note(client, job)
    assert needs_of(job) == ["clean"]
    note(client, other)
    assert needs_of(job) == []
    page = client.get(job.stone.get_absolute_url()).content.decode()
    assert "Gentle cleaning was done on 5 May 2026." in page


def test_what_a_later_look_asks_for_stays(client: Client, job: Job) -> None:
    assert job.stone is not None
    look = Survey.objects.create(stone=job.stone, on=date(2026, 5, 5), signs=["growth"])
    factories.conclude(job.stone, survey=look)
    note(client, job, on="2026-05-04")
    assert needs_of(job) == ["clean"]
    factories.conclude(job.stone, overridden_by=factories.make_person(), override_reason="moss")
    note(client, factories.make_job(job.stone), on="2026-05-05")
    assert needs_of(job) == ["clean"]
