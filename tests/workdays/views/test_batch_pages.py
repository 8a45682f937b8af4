"""Jobs that share a batch on a day: which, what is left over, and their way onto the day."""

from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories import (
    conclude,
    make_cemetery,
    make_day,
    make_job,
    make_permission,
    make_section,
    make_staff,
    make_stone,
)
from tests.pages import log_in, words
from workdays.models import Cemetery, Job, Membership, MixedMaterial, Section

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def section() -> Section:
    place = make_cemetery(name="Alder Hill")
    make_permission(place)
    return make_section(place)


def mending(section: Section, litres: float, **overrides: Any) -> Job:
    stone = make_stone(section)
    conclude(stone, "conservator", needs=[])
    mortar = MixedMaterial.objects.get(key="lime-mortar")
    figures = {"lifters": 1, "material": mortar, "material_litres": litres} | overrides
    return make_job(stone, "mending", **figures)


def page(client: Client, place: Cemetery, query: str = "") -> str:
    return words(client.get(reverse("batches", args=[place.slug]) + query))


def put(client: Client, place: Cemetery, day: Any, *jobs: Any) -> str:
    sent = {"day": day, "jobs": jobs}
    return words(client.post(reverse("batches_put", args=[place.slug]), sent, follow=True))


def test_jobs_that_fill_a_bucket_are_shown_together_and_put_on_the_next_day(
    client: Client, section: Section
) -> None:
    place, day = section.cemetery, make_day(section.cemetery)
    jobs = [mending(section, litres) for litres in (7, 5)]
    other = make_job()
    log_in(client, make_staff())
    shown = page(client, place)
    heading = "Alder Hill, Saturday 9 May: 2 jobs fill 1 batch, nothing is left over"
    assert heading in shown
    assert "Put these 2 jobs on Saturday 9 May" in shown
    assert "Lime burns eyes and skin" in shown
    assert "2 jobs more are meant for Saturday 9 May." in put(
        client, place, day.pk, *[job.pk for job in jobs]
    )
    assert set(day.jobs.all()) == set(jobs)
    assert "meant for Saturday 9 May" in page(client, place)
    assert "elsewhere by now" in put(client, place, day.pk, other.pk)
    assert set(day.jobs.all()) == set(jobs)


def test_a_quarter_of_a_bucket_is_better_left_until_more_jobs_are_ready(
    client: Client, section: Section
) -> None:
    mending(section, 3)
    log_in(client, make_staff())
    shown = page(client, section.cemetery)
    assert "Alder Hill, Wednesday 6 May: 3 litres are wanted: not worth a batch yet" in shown
    assert "9 are left over. More than half a batch would be thrown away" in shown
    assert "No day is planned here on Wednesday 6 May." in shown
    assert "Put this job" not in shown


def test_what_is_not_ready_on_the_date_says_when_it_is(client: Client, section: Section) -> None:
    job = mending(section, 3, season_first=601, season_last=930)
    mending(section, 12, earliest_on=date(2026, 7, 1))
    log_in(client, make_staff())
    shown = page(client, section.cemetery, "?on=2026-05-09")
    assert "no job that is ready uses it" in shown
    assert "2 jobs that use it are not ready then" in shown
    assert "From Monday 1 June." in shown
    june = page(client, section.cemetery, "?on=2026-06-02")
    assert str(job.stone.number) in june  # type: ignore[union-attr]  # it has one
    assert "From Wednesday 1 July." in june


@pytest.mark.parametrize("on", ["", "soon", "2026-02-30", "99999-01-01", "%00", "1066-10-14"])
def test_a_date_that_is_none_is_answered_beside_the_field(
    client: Client, section: Section, on: str
) -> None:
    log_in(client, make_staff())
    shown = page(client, section.cemetery, f"?on={on}")
    assert 'aria-describedby="on_error"' in shown
    assert "Alder Hill, Wednesday 6 May" in shown


def test_a_day_that_is_none_and_jobs_that_are_none_change_nothing(
    client: Client, section: Section
) -> None:
    place, day, job = section.cemetery, make_day(section.cemetery), mending(section, 12)
    elsewhere = make_day()
    log_in(client, make_staff())
    assert "it is elsewhere" in put(client, place, elsewhere.pk, job.pk)
    assert "it is elsewhere" in put(client, place, "9" * 30, job.pk)
    assert "not a number" in put(client, place, day.pk, "9" * 30)
    assert "This field is required." in put(client, place, day.pk)
    late = mending(section, 3, earliest_on=date(2027, 1, 1))
    assert "Not before Friday 1 January 2027." in put(client, place, day.pk, late.pk)
    assert not day.jobs.exists()


def test_who_may_only_look_sees_no_button_and_may_not_press(
    client: Client, section: Section
) -> None:
    place, day, job = section.cemetery, make_day(section.cemetery), mending(section, 12)
    supervisor = make_staff(Membership.Role.SUPERVISOR, place)
    log_in(client, supervisor)
    shown = page(client, place)
    assert "1 job fills 1 batch, nothing is left over" in shown
    assert "Put this job" not in shown
    address = reverse("batches_put", args=[place.slug])
    assert client.post(address, {"day": day.pk, "jobs": [job.pk]}).status_code == 403


def test_without_any_job_or_material_the_page_says_so(client: Client, section: Section) -> None:
    log_in(client, make_staff())
    assert "No job to do here uses it." in page(client, section.cemetery)
    MixedMaterial.objects.update(name="Old")
    MixedMaterial.objects.create(
        key="grout", name="Lime grout", batch_litres=0.04, workable_hours=0.1, source="label"
    )
    assert "batches of 2 mixed materials" in page(client, section.cemetery)
