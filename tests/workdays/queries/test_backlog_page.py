"""The page of jobs tells what the rule tells, however many jobs there are."""

import random
from collections import Counter
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tests import factories
from tests.factories import NOW
from tests.workdays.queries.ground_of_all_sorts import by_rule, make_place
from workdays.models import Cemetery, Job
from workdays.queries.backlog_page import ROWS_A_PAGE, BacklogPage, backlog_page
from workdays.queries.readiness import readiness_of
from workdays.rules.backlog_words import REASON_WORDS

pytestmark = pytest.mark.django_db
SOON = date(2026, 5, 8)  # a coming day in every zone


def asked(place: Cemetery, **query: Any) -> BacklogPage:
    return backlog_page(place, {key: str(value) for key, value in query.items()}, now=NOW)


def ids(page: BacklogPage) -> list[int]:
    return [row.job.pk for row in page.rows]


def make_many(place: Cemetery, count: int) -> None:
    """Make jobs that are ready, and as many that wait for them and for a family."""
    section = factories.make_section(place)
    for n in range(count):
        stone = factories.make_stone(section)
        factories.conclude(stone)
        first = factories.make_job(stone, priority=n % 100 + 1)
        factories.make_family(stone, "recording")
        factories.make_job(stone, "recording", wait_hours=24).prerequisites.add(first)


@pytest.mark.parametrize("seed", range(3))
def test_the_lists_hold_what_the_rule_says_with_every_sentence(seed: int) -> None:
    place = make_place(random.Random(seed), jobs=45)
    for on in (SOON, SOON + timedelta(days=90)):
        told = by_rule(place, on)
        ready = [pk for pk, codes in told.items() if not codes]
        first, then = asked(place, on=on), asked(place, on=on, show="waiting")
        assert sorted(ids(first)) == sorted(ready)
        assert sorted(ids(then)) == sorted(set(told) - set(ready))
        said = readiness_of([row.job for row in then.rows], on)
        assert {row.job.pk: list(row.refusals) for row in then.rows} == said
        counted = Counter(code for codes in told.values() for code in codes)
        words = {REASON_WORDS[code]: jobs for code, jobs in counted.items()}
        assert {way.words: way.jobs for way in then.reasons} == words


@pytest.mark.parametrize("code", REASON_WORDS)
def test_a_reason_shows_the_jobs_that_it_holds_up(code: str) -> None:
    place = make_place(random.Random(5), jobs=45)
    told = by_rule(place, SOON)
    page = asked(place, reason=code, on=SOON)
    assert sorted(ids(page)) == sorted(pk for pk, codes in told.items() if code in codes)
    assert page.asked.show == "waiting"


def test_the_totals_are_those_of_all_jobs() -> None:
    place = make_place(random.Random(2), jobs=45)
    page = asked(place)
    jobs = Job.objects.filter(cemetery=place)
    for rows in (page.by_kind, page.by_section):
        assert sum(row.ready.jobs for row in rows) == page.shows[0].jobs
        assert sum(row.waiting.jobs for row in rows) == page.shows[1].jobs
        assert sum(row.over.jobs for row in rows) == jobs.exclude(state=Job.State.OPEN).count()
        minutes = sum(row.ready.minutes + row.waiting.minutes for row in rows)
        assert minutes == sum(job.person_minutes for job in jobs.filter(state=Job.State.OPEN))


def test_what_is_left_of_a_job_counts_not_what_it_was() -> None:
    place = factories.make_cemetery()
    factories.make_permission(place)
    stone = factories.make_stone(factories.make_section(place))
    factories.conclude(stone)
    factories.make_job(stone, person_minutes=60, minutes_left=25)
    assert [row.ready.minutes for row in asked(place).by_kind] == [25]


def test_a_filter_by_section_kind_and_stone_leaves_the_other_choices_there() -> None:
    place = factories.make_cemetery()
    factories.make_permission(place)
    for name in ("Old hill", "New yard"):
        section = factories.make_section(place, name=name)
        for number in ("1", "2"):
            stone = factories.make_stone(section, number=f"{name[0]} {number}")
            factories.conclude(stone)
            factories.make_job(stone)
            factories.make_job(stone, "survey")
    hill = place.sections.get(name="Old hill")
    page = asked(place, section=hill.pk, kind="cleaning", stone="o 2")
    (row,) = page.rows
    assert (row.job.kind.key, row.where) == ("cleaning", "stone O 2")
    assert page.heading.endswith(
        "1 job of gentle cleaning at stone o 2 in Old hill is ready today, 0 wait"
    )
    assert [name for _, name in page.sections] == ["Old hill", "New yard"]
    assert asked(place, section=hill.pk).shows[0].jobs == 4
    assert asked(place, kind="survey").shows[0].jobs == 4
    assert asked(place, stone="N 1").shows[0].jobs == 2
    assert asked(place, stone="no such").rows == []


def test_fifty_a_page_the_most_urgent_first_and_every_job_once() -> None:
    place = factories.make_cemetery()
    factories.make_permission(place)
    make_many(place, ROWS_A_PAGE + 1)
    pages = [asked(place, page=n) for n in (1, 2)]
    seen = [row.job.priority for page in pages for row in page.rows]
    assert seen == sorted(seen, reverse=True)
    assert len(set(ids(pages[0]) + ids(pages[1]))) == ROWS_A_PAGE + 1
    assert [bool(page.before) for page in pages] == [False, True]
    assert [bool(page.after) for page in pages] == [True, False]
    assert asked(place, page=99).asked.page == 2


@pytest.mark.parametrize("show", ["ready", "waiting", "over"])
def test_five_statements_at_most_for_few_jobs_and_for_many(show: str) -> None:
    place = factories.make_cemetery()
    factories.make_permission(place)
    taken = []
    for count in (3, 60):
        make_many(place, count)
        with CaptureQueriesContext(connection) as found:
            page = asked(place, show=show)
        taken.append(len(found))
    assert page.shows[1].jobs == 63
    assert max(taken) <= 5


@pytest.mark.parametrize(
    ("query", "sentence"),
    [
        ({"on": "9999-99-99"}, "is no date from today to 30 January 2029."),
        ({"on": "1999-01-01"}, "is no date from today"),
        ({"on": "\x00"}, "is no date from today"),
        ({"section": "99999999999999999999"}, "is no section with jobs here."),
        ({"section": "' OR 1=1"}, "is no section with jobs here."),
        ({"kind": "juggling"}, "“juggling” is no kind of work."),
        ({"reason": "\x00no"}, "“no” is no reason to wait."),
        ({"show": "all"}, "is no list of jobs."),
        ({"page": "-1"}, "is no page of this list."),
        ({"page": "1e309"}, "is no page of this list."),
    ],
)
def test_what_makes_no_sense_is_said_and_left_out(query: dict[str, str], sentence: str) -> None:
    place = factories.make_cemetery()
    factories.make_permission(place)
    make_many(place, 1)
    page = asked(place, **query)
    (said,) = page.asked.ignored
    assert sentence in said
    assert "\x00" not in said
    assert len(page.rows) == 1


def test_the_number_of_a_stone_may_hold_anything() -> None:
    place = factories.make_cemetery()
    for number in ("\x00", "x" * 10_000, "עברית🪦", "%", "1e309", "'\""):
        assert asked(place, stone=number).rows == []
