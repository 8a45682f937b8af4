"""What would change a plan: asked on the page of the plan, worked out by the worker, shown."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from coordinator.models import AuditEntry
from tests import factories
from tests.pages import log_in
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting, what_ifs
from workdays.actions.plans import ask_for_plan
from workdays.models import CrewPlan, Job, Membership, PlanRun, SignUp, Workday

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def short(monkeypatch: pytest.MonkeyPatch) -> None:
    """As many tries as a tiny day needs."""
    monkeypatch.setattr(what_ifs, "ROUNDS", 30)


@pytest.fixture
def day() -> Workday:
    """A day with a plan, on which not all stones can be cleaned."""
    day, _, _ = workable_day()
    Job.objects.update(person_minutes=9 * 60)
    drafting.redraft(day, rounds=ROUNDS)
    return day


def organiser(day: Workday) -> Client:
    client = Client()
    log_in(client, factories.make_staff(Membership.Role.ORGANISER, day.cemetery))
    return client


def shown(client: Client, day: Workday) -> str:
    return client.get(reverse("plan", args=[day.pk])).content.decode()


def test_changes_are_asked_for_once_worked_out_kept_and_shown(day: Workday) -> None:
    client = organiser(day)
    assert "Try the changes</button>" in shown(client, day)
    for _press in range(2):
        answer = client.post(reverse("plan_what_if", args=[day.pk]))
        assert answer.status_code == 302
    [run] = PlanRun.objects.filter(kind=PlanRun.Kind.WHAT_IF)
    waiting = shown(client, day)
    assert "Waiting for the worker." in waiting
    assert "Try the changes</button>" not in waiting
    drafting.run(run, now=timezone.now())
    run.refresh_from_db()
    assert (run.state, run.steps_done) == (PlanRun.State.DONE, run.steps)
    page = shown(client, day)
    assert f"{run.steps} changes were tried" in page
    assert run.gains
    assert all(sentence in page and "at least" in sentence for sentence in run.gains)
    assert day.plans.count() == 1, "the plan stays as it is"
    assert AuditEntry.objects.filter(verb="asked what would change a plan").count() == 1


def test_a_request_for_changes_keeps_no_request_for_a_plan_from_being_made(day: Workday) -> None:
    client = organiser(day)
    client.post(reverse("plan_what_if", args=[day.pk]))
    asked = ask_for_plan(day, by=factories.make_staff())
    assert asked.kind == PlanRun.Kind.PLAN
    page = shown(client, day)
    assert "Planning: waiting for the worker" in page
    assert "Waiting for the worker." in page


def test_a_plan_that_was_replaced_or_no_longer_holds_is_said_in_words(day: Workday) -> None:
    client = organiser(day)
    client.post(reverse("plan_what_if", args=[day.pk]))
    run = PlanRun.objects.get(kind=PlanRun.Kind.WHAT_IF)
    SignUp.objects.update(state=SignUp.State.WITHDRAWN)
    drafting.run(run, now=timezone.now())
    assert what_ifs.CHANGED in shown(client, day)
    client.post(reverse("plan_what_if", args=[day.pk]))
    run = PlanRun.objects.filter(kind=PlanRun.Kind.WHAT_IF).latest("pk")
    CrewPlan.objects.update(state=CrewPlan.State.OLD)
    drafting.run(run, now=timezone.now())
    run.refresh_from_db()
    assert (run.state, run.words) == (PlanRun.State.FAILED, what_ifs.GONE)
    answer = client.post(reverse("plan_what_if", args=[day.pk]), follow=True)
    assert "There is no plan any more" in answer.content.decode()
