"""The page that looks ahead, as an organiser asks it."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.factories import NOW, START
from tests.pages import log_in, words
from workdays.models import Cemetery, RollEntry, Workday


@pytest.fixture
def place(db: None) -> Cemetery:
    """A cemetery with leave, four stones to clean, and one that is not seen yet."""
    here = factories.make_cemetery(name="Alder Hill")
    factories.make_permission(here)
    section = factories.make_section(here, name="Old ground")
    for n in range(5):
        stone = factories.make_stone(section)
        if n:
            factories.conclude(stone)
        factories.make_job(stone)
    return here


@pytest.fixture
def ruth(db: None, client: Client) -> Person:
    staff = factories.make_staff()
    log_in(client, staff)
    return staff


def held(place: Cemetery, *came: Person, weeks_ago: int) -> Workday:
    """Hold a day to which some came."""
    starts_at = START - timedelta(days=7 * weeks_ago)
    day = factories.make_day(place, starts_at=starts_at, state=Workday.State.CLOSED)
    for person in came:
        factories.make_sign_up(day, person)
        RollEntry.objects.create(day=day, person=person, arrived_at=starts_at)
    return day


def address(place: Cemetery, **query: object) -> str:
    asked = "&".join(f"{key}={value}" for key, value in query.items())
    return f"{reverse('look_ahead', args=[place.slug])}?{asked}"


@time_machine.travel(NOW, tick=False)
def test_past_days_say_how_many_days_the_work_takes(
    place: Cemetery, ruth: Person, client: Client
) -> None:
    lead = factories.make_person(may_lead=True)
    factories.sign_off(lead, "cleaning")
    helper = factories.make_person()
    for weeks_ago in range(1, 7):
        held(place, lead, helper, weeks_ago=weeks_ago)
    page = words(client.get(address(place)))
    assert "Alder Hill: 1 to 2 days for 4 jobs" in page or "Alder Hill: 1 day for 4 jobs" in page
    assert "not surveyed yet" in page
    assert "1.0 signed off, 1.0 new" in page
    assert "2 people who came to the last 6 days here" in page
    assert lead.name not in page
    assert helper.name not in page
    again = words(client.get(address(place)))
    assert again.partition("<h1")[2] == page.partition("<h1")[2]
    one = words(client.get(address(place, stones=2, by="2026-12-01")))
    assert "for 2 stones" in one
    assert "It was done by 1 December 2026 in" in one


@time_machine.travel(NOW, tick=False)
def test_without_past_days_people_are_given_by_hand(
    place: Cemetery, ruth: Person, client: Client
) -> None:
    assert "Nobody is known to come" in words(client.get(address(place)))
    page = words(client.get(address(place, who="hand", helpers=3, lead_cleaning=1, often=10)))
    assert "for 4 jobs" in page
    assert "1.0 signed off, 3.0 new" in page
    assert "Nobody is known" not in page
    none = words(client.get(address(place, who="hand", helpers=3, lead_cleaning=0)))
    assert "more than 60 days for 4 jobs" in none
    assert "nobody is left who may lead gentle cleaning" in none


@time_machine.travel(NOW, tick=False)
@pytest.mark.parametrize(
    ("query", "said"),
    [
        ({"a_month": 0}, "Give a number from 1 to 20 days."),
        ({"hours": "0"}, "Give a number from 1 to 10 hours."),
        ({"hours": "nan"}, "Give a number"),
        ({"stones": 10**30}, "Give a number from 1 to 10000 stones."),
        ({"begins": "2026-05-01"}, "Give a day from today on"),
        ({"begins": "2026-06-01", "by": "2026-05-30"}, "Give a day after the first one."),
        ({"kind": "%00"}, "That is no kind of work"),
        ({"section": "9" * 40}, "That is no section of this cemetery"),
        ({"first_month": 13}, "Choose a month."),
        ({"who": "x"}, "x is not one"),
    ],
)
def test_what_makes_no_sense_is_said_beside_the_field(
    query: dict[str, object], said: str, place: Cemetery, ruth: Person, client: Client
) -> None:
    answer = client.get(address(place, **query))
    assert answer.status_code == 422
    assert said in " ".join(answer.content.decode().split())


@time_machine.travel(NOW, tick=False)
def test_another_cemeterys_section_and_too_many_stones_are_refused(
    place: Cemetery, ruth: Person, client: Client
) -> None:
    elsewhere = factories.make_job()
    answer = client.get(address(place, section=elsewhere.section_id))
    assert answer.status_code == 422
    held(place, factories.make_person(), weeks_ago=2)
    few = words(client.get(address(place, stones=5)))
    assert "Only 4 stones of this can be finished by days." in few


@time_machine.travel(NOW, tick=False)
def test_an_empty_backlog_is_said(ruth: Person, client: Client) -> None:
    empty = factories.make_cemetery()
    assert "No job of this is to be done here." in words(client.get(address(empty)))


@time_machine.travel(NOW, tick=False)
def test_work_that_nobody_leads_is_named_first_and_not_counted_unless_asked(
    place: Cemetery, ruth: Person, client: Client
) -> None:
    lead = factories.make_person(may_lead=True)
    factories.sign_off(lead, "cleaning")
    for weeks_ago in range(1, 5):
        held(place, lead, factories.make_person(), weeks_ago=weeks_ago)
    waits = factories.make_job(factories.make_stone(place.sections.get()), "survey")
    waits.prerequisites.add(place.jobs.filter(kind__key="cleaning").latest("pk"))
    factories.make_job(factories.make_stone(place.sections.get()), "survey")
    page = words(client.get(address(place)))
    assert "for 4 of 6 jobs" in page
    assert "2 jobs of survey: nobody comes who may lead it" in page
    assert page.index("2 jobs of survey") < page.index("What holds it up")
    counted = words(client.get(address(place, unled="on")))
    assert "more than 60 days for 6 jobs" in counted
    assert "nobody is left who may lead survey" in counted
    assert "Without survey, 4 jobs take " in counted
    alone = words(client.get(address(place, kind="survey")))
    assert "more than 60 days for 3 jobs" in alone, "with the one that must come first"
