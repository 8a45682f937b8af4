"""The page of priorities: suggestions with reasons, several numbers at once, nothing lost."""

import pytest
from django.test import Client
from django.urls import reverse

from tests import factories
from tests.workdays.actions.test_priorities import reset, told
from workdays.models import Cemetery, Job

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
PAGE = "/ground/alder-hill/priorities/"


@pytest.fixture
def hill(hill: Cemetery) -> Cemetery:
    hill.settings.create(key="volunteer_resets", value=True, source="the owner")
    return hill


def sent(client: Client, jobs: list[Job], take: str = "", **typed: str) -> tuple[int, str]:
    """Send the page as it was shown, with some numbers typed over."""
    fields = {"take": take}
    for job in jobs:
        fields[f"initial-priority_{job.pk}"] = fields[f"priority_{job.pk}"] = str(job.priority)
    fields |= {f"priority_{name.removeprefix('job')}": value for name, value in typed.items()}
    answer = client.post(PAGE, fields, follow=True)
    return answer.status_code, answer.content.decode()


def test_the_page_shows_what_is_suggested_why_and_from_where(
    client: Client, hill: Cemetery
) -> None:
    reset(hill)
    reset(hill, priority=12, priority_by_hand=True)
    page = client.get(PAGE).content.decode()
    assert "Alder Hill: another priority is suggested for 2 of 2 jobs" in page
    assert "A danger to visitors: it leans 20 degrees, a touch may snap it." in page
    assert "Take 1 suggestion<" in page
    assert page.count("Take 100<") == 2
    assert page.count("set by hand") == 2  # once in the words above, once beside the job
    backlog = client.get(reverse("backlog", args=[hill.slug])).content.decode()
    assert f'href="{PAGE}?"' in backlog


def test_one_press_takes_every_suggestion_shown(client: Client, hill: Cemetery) -> None:
    jobs = [reset(hill), reset(hill, priority=12, priority_by_hand=True)]
    status, page = sent(client, jobs, take="all")
    assert status == 200
    assert "1 priority is changed." in page
    assert [told(job) for job in jobs] == [(100, False), (12, True)]


def test_what_was_typed_is_kept_whichever_button_was_pressed(
    client: Client, hill: Cemetery
) -> None:
    first, second, third = jobs = [reset(hill) for _ in range(3)]
    sent(client, jobs, take=str(second.pk), **{f"job{first.pk}": "64"})
    assert [told(job) for job in jobs] == [(64, True), (100, False), (30, False)]
    sent(client, jobs, **{f"job{third.pk}": "5"})
    assert told(third) == (5, True)


def test_what_somebody_else_changed_meanwhile_is_not_typed_over(
    client: Client, hill: Cemetery
) -> None:
    job = reset(hill)
    Job.objects.filter(pk=job.pk).update(priority=90)
    sent(client, [job])
    assert told(job) == (90, False)


@pytest.mark.parametrize("typed", ["0", "101", "", "ten", "1e309", "\x00", "9" * 400])
def test_a_number_that_is_none_is_said_and_nothing_is_kept(
    client: Client, hill: Cemetery, typed: str
) -> None:
    first, second = jobs = [reset(hill), reset(hill)]
    status, page = sent(
        client, jobs, take="all", **{f"job{first.pk}": typed, f"job{second.pk}": "64"}
    )
    assert status == 422
    assert "mend the numbers that are marked" in page
    assert 'value="64"' in page
    assert [told(job) for job in jobs] == [(30, False), (30, False)]


def test_jobs_that_are_gone_and_names_that_are_none_are_left_out(
    client: Client, hill: Cemetery
) -> None:
    other, gone = reset(factories.make_cemetery()), reset(hill, state=Job.State.DONE)
    status, _ = sent(
        client, [other, gone], take="x", job99999999999999999999="7", **{"job-1": "7", "job": "8"}
    )
    assert status == 200
    assert (told(other), told(gone)) == ((30, False), (30, False))
