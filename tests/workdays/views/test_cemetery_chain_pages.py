"""What all stones of a cemetery ask for, on one page, and the button that adds it all."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import conclude, make_cemetery, make_section, make_staff, make_stone
from tests.pages import log_in, words
from workdays.models import Cemetery, Job, Membership

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def place() -> Cemetery:
    """Make two sections: two stones to clean in one, one to reset and one to leave in the other."""
    place = make_cemetery(name="Alder Hill")
    old, road = make_section(place, name="Old hill"), make_section(place, name="Road side")
    for section, needs in ((old, ["clean"]), (old, ["clean"]), (road, ["reset"])):
        conclude(make_stone(section), needs=needs)
    conclude(make_stone(road, number="ALONE"), "leave_alone", needs=[])
    return place


def page(client: Client, place: Cemetery, query: str = "") -> str:
    return words(client.get(reverse("cemetery_chains", args=[place.slug]) + query))


def press(client: Client, place: Cemetery) -> str:
    answer = client.post(reverse("cemetery_chains_add", args=[place.slug]), follow=True)
    return answer.content.decode()


def test_the_page_counts_what_a_press_adds(client: Client, place: Cemetery) -> None:
    """Raking once a section and two cleanings; raking, digging free, resetting and a look."""
    log_in(client, make_staff())
    shown = page(client, place)
    assert "Alder Hill: 3 stones ask for 7 more jobs" in shown
    assert "Add all 7 jobs" in shown
    assert "ALONE" not in shown
    assert not Job.objects.exists()
    assert "7 jobs were added, for 3 stones." in press(client, place)
    assert Job.objects.count() == 7
    again = press(client, place)
    assert "Nothing was added" in again
    assert "Alder Hill: every job that its stones need is there" in again
    assert Job.objects.count() == 7


def test_sections_and_kinds_are_counted_and_chosen(client: Client, place: Cemetery) -> None:
    log_in(client, make_staff())
    shown = page(client, place)
    assert '<td class="number">2</td><td class="number">3</td>' in shown
    assert '<td class="number">1</td><td class="number">4</td>' in shown
    chosen = page(client, place, "?kind=resetting")
    assert "1 stone that asks: Resetting" in chosen
    old = place.sections.get(name="Old hill")
    assert "2 stones that ask: Old hill" in page(client, place, f"?section={old.pk}")


@pytest.mark.parametrize(
    "query", ["?section=x&kind=%00", "?section=99999999999999999999&page=-1", "?page=zz"]
)
def test_nonsense_in_the_address_asks_for_nothing(
    client: Client, place: Cemetery, query: str
) -> None:
    log_in(client, make_staff())
    assert "3 stones that ask<" in page(client, place, query)


def test_who_may_only_look_sees_no_button_and_may_not_press(
    client: Client, place: Cemetery
) -> None:
    supervisor = make_staff(Membership.Role.SUPERVISOR, place)
    log_in(client, supervisor)
    assert "Add all" not in page(client, place)
    assert client.post(reverse("cemetery_chains_add", args=[place.slug])).status_code == 403
    assert not Job.objects.exists()


def test_fifty_stones_stand_on_a_page(client: Client, place: Cemetery) -> None:
    section = place.sections.get(name="Old hill")
    for _ in range(50):
        conclude(make_stone(section))
    log_in(client, make_staff())
    assert page(client, place).count("data-label") == 3 * 50
    assert page(client, place, "?page=2").count("data-label") == 3 * 3


def test_a_press_takes_about_as_many_statements_for_many_stones_as_for_few(
    client: Client, place: Cemetery
) -> None:
    log_in(client, make_staff())
    with CaptureQueriesContext(connection) as few:
        press(client, place)
    section = place.sections.get(name="Old hill")
    for _ in range(30):
        conclude(make_stone(section), needs=["reset", "clean"])
    with CaptureQueriesContext(connection) as many:
        press(client, place)
    assert Job.objects.count() > 100
    assert len(many) <= len(few) + 5  # rows are stored in batches of a few hundred
