"""The page of jobs as staff see it: ten statements at most, nonsense answered in a sentence."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests import factories
from tests.workdays.queries.test_backlog_page import make_many
from workdays.models import Cemetery, Job

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


def text(client: Client, query: str = "") -> str:
    answer = client.get(reverse("backlog", args=["alder-hill"]) + query)
    assert answer.status_code == 200
    return answer.content.decode()


@pytest.mark.parametrize("show", ["ready", "waiting", "over"])
def test_ten_statements_at_most_with_few_jobs_and_with_many(
    client: Client, hill: Cemetery, show: str
) -> None:
    for count in (2, 60):
        make_many(hill, count)
        with CaptureQueriesContext(connection) as found:
            text(client, f"?show={show}")
        assert len(found) <= 10


def test_each_row_says_where_what_how_urgent_and_how_long(client: Client, hill: Cemetery) -> None:
    stone = factories.make_stone(factories.make_section(hill, name="Old hill"), number="B 7", row=3)
    factories.conclude(stone)
    job = factories.make_job(stone, priority=81, person_minutes=45)
    page = text(client)
    assert f'href="/ground/jobs/{job.pk}/">Gentle cleaning, stone B 7</a>' in page
    assert ">Old hill, row 3</td>" in page
    assert ">81</td>" in page
    assert "45 min, 2 to 3 people" in page


def test_a_job_that_is_over_says_when_on_the_clock_of_the_place(
    client: Client, hill: Cemetery
) -> None:
    stone = factories.make_stone(factories.make_section(hill))
    done_at = factories.NOW.replace(hour=2)  # still the evening before in Detroit
    factories.make_job(stone, state=Job.State.DONE, done_at=done_at, minutes_left=0)
    page = text(client, "?show=over")
    assert "Alder Hill: 1 job is done or dropped" in page
    assert "5 May 2026" in page
    assert "60 min, 2 to 3 people" in page


def test_nonsense_in_the_address_is_a_sentence_and_not_an_error(
    client: Client, hill: Cemetery
) -> None:
    make_many(hill, 1)
    page = text(client, "?on=2026-02-30&section=%00&kind=%3Cb%3E&reason=1e309&page=zz&show=&stone=")
    assert "“2026-02-30” is no date from today" in page
    assert "“&lt;b&gt;” is no kind of work." in page
    assert "Alder Hill: 1 job is ready today" in page
    assert "There is none." in text(client, "?stone=%00%F0%9F%AA%A6' OR 1=1")


def test_the_links_keep_what_was_asked_for(client: Client, hill: Cemetery) -> None:
    make_many(hill, 60)
    page = text(client, "?on=2026-05-08&kind=recording&show=waiting&reason=family&page=2")
    assert "60 jobs of recording wait on Friday 8 May (a family&#x27;s leave), 0 are ready" in page
    assert 'href="?show=waiting&amp;on=2026-05-08&amp;kind=recording&amp;reason=family">' in page
    assert 'href="?on=2026-05-08&amp;kind=recording">ready on Friday 8 May (0)</a>' in page
