"""The page while a plan is sought: how far it is, stop, cancel, how long to search."""

from datetime import timedelta

import pytest
import time_machine
from django.test import Client
from django.urls import reverse

from coordinator.models import Heartbeat
from tests.factories import NOW
from tests.workdays.planning import at_work
from tests.workdays.test_drafting import ROUNDS, workable_day
from tests.workdays.views.test_plan_pages import staff
from workdays import drafting
from workdays.models import Membership, PlanRun, Workday

pytestmark = pytest.mark.django_db


def live(client: Client, day: Workday, shown: int | None = None) -> str:
    answer = client.get(reverse("plan_live", args=[day.pk]), {"shown": str(shown)})
    assert answer.status_code == 200
    return answer.content.decode()


def test_a_plan_on_the_way_is_shown_with_its_crews_its_bound_and_how_good_it_is() -> None:
    day, people, _ = workable_day()
    client, _ = staff(day)
    run = at_work(day)
    with time_machine.travel(NOW + timedelta(seconds=12), tick=False):
        page = client.get(reverse("plan", args=[day.pk])).content.decode()
        part = live(client, day)
        same = live(client, day, run.value)
    share = 100 * (run.value or 0) // (run.bound or 1)
    for found in (page, part):
        assert f"the best plan so far is worth {run.value} points" in found
        assert f"at least {share} % of the best that any plan could be" in found
        assert f"No plan can pass {run.bound} points." in found
        assert "Tries: 50 in 12 s." in found
        assert f"{people[0].name} leads" in found
    assert "Stop, this is good enough" in page
    assert "worth" in same
    assert "leads" not in same, "its crews are shown already"


def test_a_supervisor_looks_and_ends_nothing() -> None:
    day, _, _ = workable_day()
    run = at_work(day)
    client, _ = staff(day, Membership.Role.SUPERVISOR)
    page = client.get(reverse("plan", args=[day.pk])).content.decode()
    assert "the best plan so far" in page
    assert "Stop, this" not in page
    for name in ("plan_stop", "plan_cancel"):
        assert client.post(reverse(name, args=[day.pk]), {"run": run.pk}).status_code == 403


def test_planning_is_stopped_and_cancelled_by_a_press_and_said() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    for name, said in (("plan_stop", "Stopped. The best plan"), ("plan_cancel", "Cancelled. The")):
        press = {"run": at_work(day).pk}
        answer = client.post(reverse(name, args=[day.pk]), press, follow=True)
        assert said in answer.content.decode()
        again = client.post(reverse(name, args=[day.pk]), press, follow=True).content.decode()
        assert "Nothing was changed." in again
        assert "The planning has ended" in live(client, day)
    assert day.plans.count() == 1


@pytest.mark.parametrize("bad", ["", "x", "-1", "9" * 30, "\x00"])
def test_a_button_that_names_no_request_is_answered_in_words(bad: str) -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    for name in ("plan_stop", "plan_cancel"):
        answer = client.post(reverse(name, args=[day.pk]), {"run": bad}, follow=True)
        assert "not there any more" in answer.content.decode()


def test_how_long_to_search_is_chosen_and_a_wrong_word_is_said_beside_the_field() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    address = reverse("plan_run", args=[day.pk])
    wrong = client.post(address, {"effort": "for ever\x00"})
    assert wrong.status_code == 422
    assert "is not one of the available choices" in wrong.content.decode()
    assert 'class="invalid-feedback"' in wrong.content.decode()
    assert not PlanRun.objects.exists()
    assert client.post(address, {"effort": "long"}).status_code == 302
    assert PlanRun.objects.get().effort == PlanRun.Effort.LONG


def test_a_worker_that_is_silent_or_not_there_is_said() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    with time_machine.travel(NOW + timedelta(seconds=45), tick=False):
        at_work(day)
        assert "no sign for 45 s. What was found is kept" in live(client, day)
        PlanRun.objects.update(state=PlanRun.State.CANCELLED)
        PlanRun.objects.create(day=day)
        assert "planning starts when it is back" in live(client, day)
        Heartbeat.objects.create(name="worker", at=NOW)
        assert "planning starts when it is back" not in live(client, day)


def test_a_request_at_work_is_shown_before_one_that_waits() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    at_work(day)
    PlanRun.objects.create(day=day)
    assert "so far" in live(client, day)


def test_what_a_request_found_before_it_failed_is_offered() -> None:
    day, _, _ = workable_day()
    client, _ = staff(day)
    run = at_work(day, state=PlanRun.State.FAILED, words="The planner stopped with a fault.")
    page = client.get(reverse("plan", args=[day.pk])).content.decode()
    assert f"Keep the plan found before that, worth {run.value} points" in page
    assert "Plan the crews" in page


def test_how_good_a_finished_plan_is_stands_below_its_heading() -> None:
    day, _, _ = workable_day()
    plan = drafting.redraft(day, rounds=ROUNDS)
    client, _ = staff(day)
    address = reverse("plan", args=[day.pk])
    assert "and no plan is worth more" in client.get(address).content.decode()
    day.plans.update(proved=False, bound=2 * plan.value)
    assert "it is at least 50 % of the best" in client.get(address).content.decode()
