"""The page of the morning: who is missing, and planning the rest of the day again."""

from datetime import UTC, datetime, timedelta

import pytest
import time_machine
from django.urls import reverse

from coordinator.models import AuditEntry
from tests import factories
from tests.factories import START
from tests.workdays.actions.test_plan_now import MORNING, come, published_day
from tests.workdays.views.test_plan_pages import staff
from workdays import drafting
from workdays.models import CrewJob, Membership, PlanRun, SignUp, Workday
from workdays.queries.hands_page import hands_of
from workdays.queries.plan_page import plan_page
from workdays.rules.rest import Rest

pytestmark = pytest.mark.django_db


def test_on_the_morning_the_rest_is_planned_again_and_the_page_says_what_changes() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    client, _ = staff(day)
    address, missing = reverse("plan_now", args=[day.pk]), people[3]
    with time_machine.travel(MORNING, tick=False):
        for name in ("roll", "plan"):
            assert address in client.get(reverse(name, args=[day.pk])).content.decode()
        page = client.get(address).content.decode()
        assert "3 here, 1 missing" in page
        assert missing.name in page
        assert "Still coming, by 9:30" in page
        said = {f"person_{missing.pk}": "2", "since": "1", "most_moved": "5"}
        said["version"] = str(plan.version)
        noted = client.post(address, {**said, "note": "1"}, follow=True).content.decode()
        assert "Noted of 1 person." in noted
        assert "Come later" in noted
        said[f"person_{missing.pk}"] = "no"
        for _ in range(2):
            assert client.post(address, {**said, "plan": "1"}).status_code == 302
        run = PlanRun.objects.get(begins_at=START + timedelta(minutes=15))
        drafting.run(run, now=MORNING)
        shown = client.get(reverse("plan", args=[day.pk])).content.decode()
    assert "What changes from 9:15 on" in shown
    assert f"Crew 1: {missing.name} is not there." in shown
    assert "Nobody else moves." in shown
    assert AuditEntry.objects.filter(verb="noted as not coming").count() == 1


def test_hands_are_offered_who_is_here_and_work_that_has_not_ended() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    ended = CrewJob.objects.filter(crew__plan=plan).earliest("starts_at")
    CrewJob.objects.filter(pk=ended.pk).update(ends_at=START + timedelta(minutes=15))
    rest = Rest(START + timedelta(minutes=15), 5)
    draft = drafting.redraft(day, rounds=10, rest=rest)
    hands = hands_of(day, plan_page(day))
    assert hands
    assert hands.plan == draft
    offered = {chip.key for chip in hands.jobs_left} | {c.key for b in hands.blocks for c in b.free}
    assert f"j{ended.job_id}" not in offered
    assert not {key for key in offered if key.startswith(f"p{people[3].pk}.")}


def test_a_lead_who_is_missing_is_said_first_and_a_minor_alone_by_name() -> None:
    day, people, _ = published_day()
    child = factories.make_person(is_adult=False, name="Kit Example")
    factories.make_sign_up(day, child, guardian=people[1])
    factories.sign(child, signed_by=people[1], role="guardian")
    come(day, people[2], child)
    client, _ = staff(day)
    with time_machine.travel(MORNING, tick=False):
        page = client.get(reverse("plan_now", args=[day.pk])).content.decode()
    first = page.index(f"{people[0].name} leads Crew 1 and is not here.")
    assert first < page.index(f"Kit Example is a minor and {people[1].name}, the guardian")
    assert "Here and in no crew yet" in page


@pytest.mark.parametrize(
    "bad", ["", "x", "-1", "0", "99999999999999999999", "\x00", "1.5", "<b>", "24"]
)
def test_a_hostile_answer_is_refused_beside_its_field_and_nothing_is_lost(bad: str) -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    client, _ = staff(day)
    address, field = reverse("plan_now", args=[day.pk]), f"person_{people[3].pk}"
    good = {field: "3", "since": "2", "most_moved": "4", "version": str(plan.version), "plan": "1"}
    with time_machine.travel(MORNING, tick=False):
        for name in ("since", "most_moved", "version", field):
            fine = {("most_moved", "0"), ("most_moved", "24")}
            if (name, bad) in fine or (name, bad) == ("version", str(plan.version)):
                continue
            answer = client.post(address, {**good, name: bad})
            assert answer.status_code == 422, (name, bad)
            if name != field:
                assert '<option value="3" selected>' in answer.content.decode()
    assert not PlanRun.objects.exists()
    assert not SignUp.objects.filter(expected_at__isnull=False).exists()


@pytest.mark.parametrize(
    ("at", "state", "why"),
    [
        (START - timedelta(hours=4), "open", "three hours before the day"),
        (START + timedelta(hours=7), "open", "Less than a quarter hour"),
        (MORNING, "called_off", "was called off"),
        (MORNING, "closed", "is closed"),
    ],
)
def test_another_day_or_a_shut_one_says_why_and_takes_nothing(
    at: datetime, state: str, why: str
) -> None:
    day, _, _ = published_day()
    Workday.objects.filter(pk=day.pk).update(state=state)
    client, _ = staff(day)
    address = reverse("plan_now", args=[day.pk])
    with time_machine.travel(at, tick=False):
        page = client.get(address)
        assert (page.status_code, why in page.content.decode()) == (200, True)
        assert client.post(address, {"since": "1"}).status_code == 409
    assert not PlanRun.objects.exists()


def test_a_day_without_a_published_plan_says_so_and_a_supervisor_may_not_ask() -> None:
    day = factories.make_day()
    client, _ = staff(day)
    supervisor, _ = staff(day, Membership.Role.SUPERVISOR)
    with time_machine.travel(MORNING, tick=False):
        page = client.get(reverse("plan_now", args=[day.pk])).content.decode()
        assert supervisor.get(reverse("plan_now", args=[day.pk])).status_code == 403
        roll = supervisor.get(reverse("roll", args=[day.pk])).content.decode()
    assert "No plan of this day is published yet" in page
    assert "plan/now/" not in roll


def test_an_hour_that_comes_twice_is_told_apart() -> None:
    starts_at = datetime(2026, 11, 1, 4, 0, tzinfo=UTC)  # midnight; the clocks go back at two
    day = factories.make_day(starts_at=starts_at)
    day.plans.create(state="published")
    client, _ = staff(day)
    with time_machine.travel(starts_at, tick=False):
        page = client.get(reverse("plan_now", args=[day.pk])).content.decode()
    assert page.count(">1:15 EDT<") == page.count(">1:15 EST<") == 1
