"""The public list, the page of a day, and the calendars to subscribe to."""

import gzip
import re
from datetime import timedelta
from pathlib import Path

import pytest
import vobject
from django.contrib.staticfiles import finders
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_job,
    make_person,
    make_sign_up,
    make_waiver,
    skill,
)
from workdays.models import Cemetery, CemeterySetting, Party, SignUp, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def cemetery() -> Cemetery:
    return make_cemetery(
        name="Alder Hill", water="tap by the gate", toilet="none (nearest 1 mile)", shade="oaks"
    )


def page(client: Client, day: Workday) -> str:
    response = client.get(reverse("day", args=[day.pk]))
    assert response.status_code == 200
    return response.content.decode()


def heading(html: str) -> str:
    return html.partition("<h1>")[2].partition("</h1>")[0]


def test_the_heading_answers(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery, capacity=8)
    make_sign_up(day)
    Party.objects.create(day=day, name="Scouts", reserved=1)
    assert heading(page(client, day)) == "Saturday 9 May at Alder Hill: 6 places left"


def test_the_facts_of_a_day(client: Client, cemetery: Cemetery) -> None:
    html = page(client, make_day(cemetery, equipment={"rake": 8}))
    assert "9:00 to 15:00, lunch at 12:00. Rain date: Sunday 10 May" in html
    assert "At the gate on Quarry Road" in html
    assert "Closed shoes, gloves, water" in html
    assert "Water: tap by the gate; toilet: none (nearest 1 mile); shade: oaks; rake: 8" in html
    assert "I want to come" in html


@pytest.mark.parametrize(
    ("change", "words", "open_for_sign_up"),
    [
        ({"capacity": 2}, "Saturday 9 May at Alder Hill: full, with a waiting list", True),
        ({"capacity": 3}, "Saturday 9 May at Alder Hill: 1 place left", True),
        ({"state": "called_off"}, "Called off: Saturday 9 May at Alder Hill", False),
        ({"cut_off_at": NOW}, "Saturday 9 May at Alder Hill: sign-up is closed", False),
        ({"state": "closed"}, "Saturday 9 May at Alder Hill is over", False),
        (
            {"moved_from": NOW.date(), "capacity": 3},
            "Moved to Saturday 9 May at Alder Hill: 1 place left",
            True,
        ),
    ],
)
def test_a_day_says_first_how_it_stands(
    client: Client,
    cemetery: Cemetery,
    change: dict[str, object],
    words: str,
    open_for_sign_up: bool,
) -> None:
    day = make_day(cemetery, **change)
    for _ in range(2):
        make_sign_up(day)
    html = page(client, day)
    assert heading(html) == words
    address = reverse("sign_up", args=[day.pk])
    assert (address in html) == open_for_sign_up


def test_a_day_in_the_past_and_one_under_way_say_so(client: Client, cemetery: Cemetery) -> None:
    past = make_day(cemetery, starts_at=NOW - timedelta(days=30))
    now = make_day(cemetery, starts_at=NOW - timedelta(hours=1))
    assert heading(page(client, past)) == "Monday 6 April at Alder Hill is over"
    assert heading(page(client, now)) == "Wednesday 6 May at Alder Hill has begun"


def test_a_draft_is_nobodys_business(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery, state=Workday.State.DRAFT)
    for name in ("day", "sign_up", "sign_up_sent", "day_calendar"):
        assert client.get(reverse(name, args=[day.pk])).status_code == 404
    assert "Alder Hill" not in client.get(reverse("days_public")).content.decode()
    assert b"Alder Hill" not in client.get(reverse("feed")).content


@pytest.mark.parametrize("number", ["0", "99999999999999999999999999"])
def test_a_day_that_never_was_is_not_found(client: Client, number: str) -> None:
    for tail in ("", "sign-up/", "calendar.ics"):
        assert client.get(f"/days/{number}/{tail}").status_code == 404


def test_the_kinds_of_work_come_from_the_jobs(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery)
    day.jobs.set([make_job(), make_job(), make_job(kind_key="resetting")])
    html = page(client, day)
    assert html.count("<h3>Gentle cleaning</h3>") == 1
    assert "Anyone; we teach you in the first half hour" in html
    assert "only people who are signed off" in html
    CemeterySetting.objects.create(
        cemetery=cemetery, key="volunteer_resets", value=True, source="owner's letter"
    )
    assert "Adults, beside a supervisor" in page(client, day)


def test_a_clinic_says_what_is_taught(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery, purpose=Workday.Purpose.CLINIC, teaches=skill("cleaning"))
    html = page(client, day)
    assert heading(html).startswith("Saturday 9 May at Alder Hill, clinic on gentle cleaning: ")
    assert "What we will teach" in html
    assert "<h3>Gentle cleaning</h3>" in html


def test_the_way_is_shown_without_another_host(client: Client) -> None:
    day = make_day(make_cemetery(latitude="42.12345", longitude="-83.54321", way_in="Up the hill"))
    html = page(client, day)
    assert 'href="geo:42.12345,-83.54321"' in html
    assert "Up the hill" in html
    assert "https://" not in html
    assert "geo:" not in page(client, make_day(make_cemetery(latitude="42.12345")))


@pytest.mark.parametrize("sign_ups", [1, 40])
def test_a_day_takes_nine_statements_whatever_the_number_of_sign_ups(
    client: Client,
    cemetery: Cemetery,
    django_assert_max_num_queries: DjangoAssertNumQueries,
    sign_ups: int,
) -> None:
    day = make_day(cemetery, capacity=50, equipment={"rake": 8, "barrow": 1})
    day.jobs.set([make_job(), make_job(kind_key="resetting", equipment={"barrow": 90})])
    for _ in range(sign_ups):
        make_sign_up(day, brings={"barrow": 1})
    with django_assert_max_num_queries(9):
        assert f"{89 - sign_ups} x wheelbarrow" in page(client, day)


def test_the_list_takes_as_many_statements_for_many_days(
    client: Client, cemetery: Cemetery, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for n in range(20):
        make_sign_up(make_day(cemetery, starts_at=NOW + timedelta(days=n + 1)))
    with django_assert_max_num_queries(3):
        html = client.get(reverse("days_public")).content.decode()
    assert html.count("19 places left</a>") == 20


def test_the_list_holds_days_to_come_and_those_called_off(
    client: Client, cemetery: Cemetery
) -> None:
    make_day(cemetery, starts_at=NOW - timedelta(days=2))
    make_day(cemetery, state=Workday.State.CALLED_OFF)
    html = client.get(reverse("days_public")).content.decode()
    assert "Called off: Saturday 9 May at Alder Hill" in html
    assert "4 May" not in html


def test_an_empty_list_says_what_to_do(client: Client) -> None:
    assert "No day is open just now" in client.get(reverse("days_public")).content.decode()


def test_the_feed_names_nobody_and_keeps_the_uid(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery, sequence=3)
    make_sign_up(day, make_person(name="Ana Costa"))
    response = client.get(reverse("feed"))
    assert response.headers["Content-Type"] == "text/calendar; charset=utf-8"
    assert b"Ana" not in response.content
    entry = vobject.readOne(response.content.decode()).vevent
    assert entry.uid.value == str(day.uid)
    assert entry.sequence.value == "3"
    assert "attendee" not in entry.contents
    one = vobject.readOne(client.get(reverse("day_calendar", args=[day.pk])).content.decode())
    assert one.vevent.uid.value == str(day.uid)


def test_a_day_called_off_stays_in_the_feed_marked(client: Client, cemetery: Cemetery) -> None:
    make_day(cemetery, state=Workday.State.CALLED_OFF)
    entry = vobject.readOne(client.get(reverse("feed")).content.decode()).vevent
    assert entry.status.value == "CANCELLED"
    assert entry.summary.value == "Called off: Workday at Alder Hill"


def test_a_feed_that_has_not_changed_is_not_sent_again(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery)
    tag = client.get(reverse("feed")).headers["ETag"]
    headers = {"if-none-match": tag}
    assert client.get(reverse("feed"), headers=headers).status_code == 304
    day.bring = "a hat"
    day.save()
    assert client.get(reverse("feed"), headers=headers).status_code == 200


def test_an_empty_feed_is_a_calendar_all_the_same(client: Client) -> None:
    assert b"BEGIN:VTIMEZONE" in client.get(reverse("feed")).content


@pytest.mark.parametrize("state", [SignUp.State.UNCONFIRMED, SignUp.State.OFFERED])
def test_a_place_held_until_a_past_moment_is_shown_as_free(
    client: Client, cemetery: Cemetery, state: str
) -> None:
    day = make_day(cemetery, capacity=2)
    make_sign_up(day, state=state, held_until=NOW)
    assert "2 places left" in page(client, day)


def test_public_pages_only_listen(client: Client, cemetery: Cemetery) -> None:
    day = make_day(cemetery)
    for name in ("day", "day_calendar", "sign_up_sent"):
        assert client.post(reverse(name, args=[day.pk])).status_code == 405


def weight_of(html: str) -> int:
    """Return the octets of a page over the wire, with what it loads."""
    weight = len(gzip.compress(html.encode()))
    for address in re.findall(r'(?:href|src)="/static/([^"]+)"', html):
        found = finders.find(address)
        assert found, address
        weight += len(Path(found).read_bytes())
    return weight


def test_the_form_of_a_day_weighs_as_little_and_loads_no_script(
    client: Client, cemetery: Cemetery
) -> None:
    make_waiver(text="A word of it. " * 500)
    day = make_day(cemetery)
    html = client.get(reverse("sign_up", args=[day.pk])).content.decode()
    assert "A word of it. A word" in html
    assert 20_000 < weight_of(html) <= 40_000
    assert "<script" not in html


def test_a_day_weighs_at_most_forty_kilobytes_over_the_wire(
    client: Client, cemetery: Cemetery
) -> None:
    day = make_day(cemetery, words="word " * 400, equipment={"rake": 8})
    kinds = ("cleaning", "raking", "resetting", "survey", "recording", "mending")
    day.jobs.set([make_job(kind_key=key) for key in kinds])
    html = page(client, day)
    assert 20_000 < weight_of(html) <= 40_000
    assert "<script" not in html
