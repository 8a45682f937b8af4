"""Pins that cannot be held: said on the page of the plan, each let go by a press."""

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from coordinator.models import AuditEntry
from tests import factories
from tests.pages import log_in
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting
from workdays.erasing import blank_everything
from workdays.models import Membership, Placement, PlanRun, SignUp, Workday

pytestmark = pytest.mark.django_db


def failed_run() -> tuple[Workday, PlanRun, Client]:
    """A day on which a pinned helper names a language that the lead does not speak."""
    day, people, _ = workable_day()
    drafting.redraft(day, rounds=ROUNDS)
    placed = Placement.objects.filter(crew__plan__day=day, crew__block=day.blocks.earliest("pk"))
    placed.exclude(person=people[0]).update(pinned=True)
    assert placed.filter(person=people[1], pinned=True).exists()
    SignUp.objects.filter(person=people[0]).update(languages=["en"])
    SignUp.objects.filter(person=people[1]).update(languages=["pt"])
    run = PlanRun.objects.create(day=day)
    drafting.run(run, now=timezone.now())
    run.refresh_from_db()
    client = Client()
    log_in(client, factories.make_staff(Membership.Role.ORGANISER, day.cemetery))
    return day, run, client


def test_a_pin_that_cannot_be_held_is_named_with_the_reason_and_let_go() -> None:
    day, run, client = failed_run()
    name = SignUp.objects.get(languages=["pt"]).person.name
    assert run.state == PlanRun.State.FAILED
    [pin] = run.clash
    assert pin["words"].startswith(f"{name} is pinned to the crew of ")
    assert f"{name} shares no language with" in run.words
    address = reverse("plan", args=[day.pk])
    page = client.get(address).content.decode()
    assert "One pin cannot be held, so no plan was made" in page
    press = {key: pin[key] for key in ("what", "number", "block")}
    for said in ("Let go. Plan the rest again", "That is not pinned any more."):
        answer = client.post(reverse("plan_let_go", args=[day.pk]), press, follow=True)
        assert said in answer.content.decode()
    assert "<b>Let go.</b>" in client.get(address).content.decode()
    assert AuditEntry.objects.filter(verb="let a pin go").count() == 1
    again = PlanRun.objects.create(day=day)
    drafting.run(again, now=timezone.now())
    again.refresh_from_db()
    assert (again.state, again.clash) == (PlanRun.State.DONE, [])


@pytest.mark.parametrize("bad", ["x", "99999999999999999999", "\x00"])
def test_a_pin_that_is_none_is_answered_in_words(bad: str) -> None:
    day, _run, client = failed_run()
    good = {"what": "person", "number": "1", "block": "0"}
    for name in good:
        address = reverse("plan_let_go", args=[day.pk])
        answer = client.post(address, {**good, name: bad}, follow=True)
        assert answer.status_code == 200
        assert "That is not pinned any more." in answer.content.decode()


def test_the_words_of_a_clash_forget_who_is_erased() -> None:
    _day, run, _client = failed_run()
    person = SignUp.objects.get(languages=["pt"]).person
    name = person.name
    blank_everything([person], kept=set(), now=timezone.now())
    run.refresh_from_db()
    assert run.clash
    assert name not in f"{run.words} {run.clash}"
