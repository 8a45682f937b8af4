"""The chain of a stone as its page shows it, and the button that adds its jobs."""

from datetime import UTC, date, datetime

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
from tests.pages import log_in
from workdays.models import ChainTemplate, Conclusion, Job, Membership, Stone

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def stone() -> Stone:
    place = make_cemetery()
    make_permission(place)
    return make_stone(make_section(place, name="Old hill"), number="C-3")


def page(client: Client, stone: Stone) -> str:
    answer = client.get(reverse("stone_chain", args=[stone.pk]))
    assert answer.status_code == 200
    return answer.content.decode()


def press(client: Client, stone: Stone) -> str:
    answer = client.post(reverse("stone_chain_add", args=[stone.pk]), follow=True)
    return answer.content.decode()


def test_the_chain_says_what_it_would_add_and_a_press_adds_it_once(
    client: Client, stone: Stone
) -> None:
    conclude(stone, needs=["reset", "clean"])
    log_in(client, make_staff())
    shown = page(client, stone)
    assert "Stone C-3: 5 jobs would do what it needs" in shown
    assert "Add these 5 jobs" in shown
    assert "After: Dig it free; never pull it upright" in shown
    assert "then a whole winter" in shown
    assert not Job.objects.exists()
    assert "5 jobs were added, for 1 stone." in press(client, stone)
    again = press(client, stone)
    assert "Nothing was added: every job that is asked for is there." in again
    assert "Stone C-3: every job it needs is there" in again
    assert "Add these" not in again
    assert Job.objects.count() == 5


def test_each_open_job_says_from_when_it_may_be_done(client: Client, stone: Stone) -> None:
    """Bonded on Wednesday 6 May at 9:00; 24 hours end on Thursday: Friday 8 May is whole."""
    conclude(stone, Conclusion.Kind.CONSERVATOR, needs=[], look_again_on=date(2031, 4, 1))
    log_in(client, make_staff())
    press(client, stone)
    done_at = datetime(2026, 5, 6, 13, 0, tzinfo=UTC)
    Job.objects.exclude(words__icontains="lime").exclude(words__icontains="damp").update(
        state=Job.State.DONE, done_at=done_at
    )
    shown = page(client, stone)
    assert "from Friday 8 May" in shown
    assert "What was done before must rest until Thursday 7 May, 9:00." in shown
    assert "3 litres of Lime mortar" in shown
    assert "only 1 May to 30 September" in shown


def test_a_stone_left_alone_and_a_sound_one_say_why_nothing_is_added(
    client: Client, stone: Stone
) -> None:
    log_in(client, make_staff())
    conclude(stone, Conclusion.Kind.LEAVE_ALONE, needs=[])
    shown = page(client, stone)
    assert "leave it alone, so nothing is added" in shown
    assert "Nothing may touch this stone." in shown
    assert "Add th" not in shown
    conclude(stone, needs=[])
    shown = page(client, stone)
    assert "sound, so nothing is added" in shown
    assert "Add th" not in shown
    assert "Nothing was added" in press(client, stone)
    assert not Job.objects.exists()


def test_what_is_left_out_and_what_was_made_by_hand_is_shown(client: Client, stone: Stone) -> None:
    conclude(stone, needs=["reset"])
    by_hand = make_job(stone, "recording", words="Rub the date", lifters=0)
    log_in(client, make_staff())
    shown = page(client, stone)
    assert "It does not need cleaning, and each cleaning can harm." in shown
    assert "Other jobs at this stone" in shown
    assert by_hand.words in shown


def test_a_chain_out_of_use_says_so(client: Client, stone: Stone) -> None:
    ChainTemplate.objects.update(in_use=False)
    log_in(client, make_staff())
    assert "no chain in use says how to do what it needs" in page(client, stone)


def test_days_to_come_are_offered_once_there_is_a_job(client: Client, stone: Stone) -> None:
    make_day(stone.cemetery)
    log_in(client, make_staff())
    assert "Choose jobs for" not in page(client, stone)
    press(client, stone)
    assert "Choose jobs for Saturday 9 May" in page(client, stone)


def test_who_may_only_look_sees_no_button_and_may_not_press(client: Client, stone: Stone) -> None:
    supervisor = make_staff(Membership.Role.SUPERVISOR, stone.cemetery)
    log_in(client, supervisor)
    shown = page(client, stone)
    assert "1 job would do what it needs" in shown
    assert "Add this job" not in shown
    assert client.post(reverse("stone_chain_add", args=[stone.pk])).status_code == 403
    assert not Job.objects.exists()


def test_the_page_of_the_stone_leads_to_its_chain(client: Client, stone: Stone) -> None:
    log_in(client, make_staff())
    shown = client.get(stone.get_absolute_url()).content.decode()
    assert reverse("stone_chain", args=[stone.pk]) in shown
