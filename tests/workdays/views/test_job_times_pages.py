"""When a job may be done and what it uses up: on its page, and changed by its form."""

from datetime import UTC, datetime
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories import (
    conclude,
    make_job,
    make_permission,
    make_section,
    make_staff,
    make_stone,
)
from tests.pages import log_in, words
from workdays.models import Job, MixedMaterial

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def job(client: Client) -> Job:
    """Make a mending that comes after a bond, and log an organiser in."""
    log_in(client, make_staff())
    stone = make_stone(make_section())
    make_permission(stone.cemetery)
    conclude(stone, "conservator", needs=[])
    bond = make_job(stone, "mending", lifters=1, words="Bond it")
    job = make_job(stone, "mending", lifters=1, words="Point the seam")
    job.prerequisites.add(bond)
    return job


def sent(job: Job, **overrides: Any) -> dict[str, Any]:
    """Return a valid job as a browser sends it."""
    return {
        "kind": job.kind_id,
        "stone": job.stone.number,  # type: ignore[union-attr]  # it has one
        "words": "Point the seam",
        "priority": "30",
        "person_minutes": "60",
        "fewest": "2",
        "most": "3",
        "lifters": "1",
        "prerequisites": [one.pk for one in job.prerequisites.all()],
        "wait_hours": "24",
        "season_first": "1 May",
        "season_last": "30 September",
        "material": MixedMaterial.objects.get(key="lime-mortar").pk,
        "material_litres": "2.5",
        "state": "open",
    } | overrides


def test_times_and_material_are_kept_and_shown(client: Client, job: Job) -> None:
    """Bonded on Wednesday 6 May at 9:00; 24 hours end on Thursday: Friday 8 May is whole."""
    address = reverse("job_edit", args=[job.pk])
    shown = words(client.post(address, sent(job), follow=True))
    assert "2.5 litres of Lime mortar" in shown
    assert "Then 24 hours of rest; only 1 May to 30 September" in shown
    done_at = datetime(2026, 5, 6, 13, 0, tzinfo=UTC)
    job.prerequisites.update(state=Job.State.DONE, done_at=done_at)
    assert "From Friday 8 May." in words(client.get(job.get_absolute_url()))
    form = words(client.get(address))
    assert 'value="1 May"' in form
    assert 'value="2.5"' in form
    job.refresh_from_db()
    assert (job.season_first, job.season_last, job.material_litres) == (501, 930, 2.5)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"season_last": ""}, "Give both ends of the season, or neither."),
        ({"season_last": "30 Feb"}, "Write a day and a month, like 1 May."),
        ({"material": ""}, "Give both the material and how many litres, or neither."),
        ({"material_litres": "1e9"}, "Give a number from 0.01 to 500 litres."),
        ({"after_winter": "on", "prerequisites": []}, "a winter is counted from"),
    ],
)
def test_what_does_not_fit_is_said_beside_its_field(
    client: Client, job: Job, typed: dict[str, Any], said: str
) -> None:
    shown = words(client.post(reverse("job_edit", args=[job.pk]), sent(job, **typed)))
    assert said in shown
    assert "is-invalid" in shown
    job.refresh_from_db()
    assert job.material is None


def test_work_that_mixes_nothing_uses_no_material(client: Client, job: Job) -> None:
    survey = make_job(job.stone, "survey", lifters=0)
    typed = sent(job, kind=survey.kind_id, lifters="0")
    shown = words(client.post(reverse("job_edit", args=[survey.pk]), typed))
    assert "This kind of work uses no mixed material." in shown
