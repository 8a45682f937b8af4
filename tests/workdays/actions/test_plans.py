"""Ask for a plan, move people, publish."""

import pytest

from coordinator.models import AuditEntry, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting
from workdays.actions.hands import move_person
from workdays.actions.plans import ask_for_plan, publish_plan
from workdays.models import CrewPlan, Placement, PlanRun, SignUp, Workday
from workdays.queries.plans import plan_of

pytestmark = pytest.mark.django_db


def test_asking_twice_is_one_run() -> None:
    day, people, _ = workable_day()
    assert ask_for_plan(day, by=people[0]) == ask_for_plan(day, by=people[0])
    assert PlanRun.objects.count() == 1


def test_publishing_tells_everybody_in_the_plan_once() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    told = publish_plan(draft, by=people[0], now=NOW)
    placed = Placement.objects.filter(crew__plan=draft).values("person").distinct().count()
    assert told == placed == SentMessage.objects.filter(reason="crew").count()
    assert AuditEntry.objects.filter(verb="published").exists()
    again = drafting.redraft(day, rounds=ROUNDS)
    assert publish_plan(again, by=people[0], now=NOW) == 0
    assert day.plans.filter(state=CrewPlan.State.PUBLISHED).count() == 1


def test_a_plan_whose_day_changed_is_not_published() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    people[0].signatures.update(withdrawn_at=NOW)
    with pytest.raises(Refused):
        publish_plan(draft, by=people[0], now=NOW)
    assert not day.plans.filter(state=CrewPlan.State.PUBLISHED).exists()


def test_a_move_is_pinned_and_kept_when_the_rest_is_planned_again() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    moved = move_person(draft, people[1], block=0, to=None, version=draft.version, by=people[0])
    assert moved.version == draft.version + 1
    placed = {m for crew in plan_of(moved).crews if crew.block == 0 for m in crew.members}
    assert f"p{people[1].pk}" not in placed


def test_a_move_of_a_stale_version_is_refused_and_loses_nothing() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    with pytest.raises(Refused, match="in the meantime"):
        move_person(draft, people[1], block=0, to=None, version=99, by=people[0])
    assert day.plans.get(state=CrewPlan.State.DRAFT) == draft


def test_a_move_that_breaks_a_rule_is_refused_in_words() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    stranger = factories.make_person()
    factories.make_sign_up(day, stranger)  # no waiver
    with pytest.raises(Refused, match="waiver"):
        move_person(draft, stranger, block=0, to=people[0], version=draft.version, by=people[0])


def test_a_called_off_day_is_not_planned_any_more() -> None:
    day, people, _ = workable_day()
    Workday.objects.filter(pk=day.pk).update(state=Workday.State.CALLED_OFF)
    with pytest.raises(Refused, match="called off"):
        ask_for_plan(day, by=people[0])


def test_who_withdrew_is_not_told() -> None:
    day, people, _ = workable_day()
    draft = drafting.redraft(day, rounds=ROUNDS)
    SignUp.objects.filter(person=people[3]).update(state=SignUp.State.WITHDRAWN)
    fresh = drafting.redraft(day, rounds=ROUNDS)
    assert draft.pk != fresh.pk
    publish_plan(fresh, by=people[0], now=NOW)
    assert not SentMessage.objects.filter(person=people[3]).exists()
