"""Changes of a plan by hand as rows: what is held, who did it, and back again."""

from collections.abc import Callable

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests.workdays.test_drafting import ROUNDS, workable_day
from workdays import drafting
from workdays.actions import hands
from workdays.actions.plans import publish_plan
from workdays.models import CrewPlan, Job, SignUp, Workday
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_and_held, plan_of
from workdays.rules.facts import JobPin, PersonPin

pytestmark = pytest.mark.django_db


@pytest.fixture
def drafted() -> tuple[Workday, list[Person], list[Job], CrewPlan]:
    day, people, work = workable_day()
    return day, people, work, drafting.redraft(day, rounds=ROUNDS)


Drafted = tuple[Workday, list[Person], list[Job], CrewPlan]


def test_all_that_is_held_comes_from_rows_and_outlives_new_planning(drafted: Drafted) -> None:
    day, people, work, plan = drafted
    lead = people[0]
    moved = hands.move_person(plan, people[1], block=0, to=None, version=plan.version, by=lead)
    pinned = hands.pin_job(moved, work[0].pk, pinned=True, version=moved.version, by=lead)
    locked = hands.lock_crew(pinned, lead, block=0, locked=True, version=pinned.version, by=lead)
    apart = hands.keep_apart(
        locked, people[2], people[1], apart=True, version=locked.version, by=lead
    )
    fresh = drafting.redraft(day, seed=2, rounds=ROUNDS)
    assert fresh.version > apart.version
    facts = planning_facts(day)
    assert PersonPin(f"p{people[1].pk}", 0, None) in facts.pins
    stays = next(crew for crew in plan_of(apart).crews if crew.block == 0)
    assert {pin.person for pin in facts.pins} == {f"p{people[1].pk}", *stays.members}
    kept = next(crew for crew in plan_of(fresh).crews if crew.block == 0)
    assert (kept.leader, set(kept.members)) == (stays.leader, set(stays.members))
    assert {task.job for task in kept.jobs} == {task.job for task in stays.jobs}
    assert JobPin(f"j{work[0].pk}", 0, f"p{lead.pk}") in facts.job_pins
    assert facts.apart == ((f"p{people[1].pk}", f"p{people[2].pk}"),)
    verbs = AuditEntry.objects.filter(thing_type="crewplan").order_by("pk")
    assert list(verbs.values_list("verb", flat=True)) == [
        "person-moved",
        "pinned",
        "locked",
        "apart",
    ]


def test_undo_goes_back_step_by_step_with_the_pins(drafted: Drafted) -> None:
    day, people, work, plan = drafted
    start = plan_and_held(plan)
    one = hands.move_person(plan, people[1], block=0, to=None, version=plan.version, by=people[0])
    middle = plan_and_held(one)
    two = hands.pin_job(one, work[0].pk, pinned=True, version=one.version, by=people[0])
    three = hands.undo(two, version=two.version, by=people[0])
    assert plan_and_held(three) == middle
    four = hands.undo(three, version=three.version, by=people[0])
    assert plan_and_held(four) == start
    assert AuditEntry.objects.filter(verb="undid").count() == 2
    with pytest.raises(Refused, match="no change"):
        hands.undo(four, version=four.version, by=people[0])
    assert day.plans.filter(state=CrewPlan.State.DRAFT).get() == four


def test_undo_of_the_first_change_after_publishing_shows_the_published_plan(
    drafted: Drafted,
) -> None:
    day, people, _, plan = drafted
    publish_plan(plan, by=people[0], now=day.starts_at)
    plan.refresh_from_db()
    draft = hands.move_person(plan, people[1], block=0, to=None, version=plan.version, by=people[0])
    assert hands.undo(draft, version=draft.version, by=people[0]) == plan
    assert not day.plans.filter(state=CrewPlan.State.DRAFT).exists()


def test_undo_to_a_plan_with_somebody_who_withdrew_is_refused_in_words(drafted: Drafted) -> None:
    day, people, _, plan = drafted
    placed = {m for crew in plan_of(plan).crews for m in crew.members}
    who = next(one for one in people[1:] if f"p{one.pk}" in placed)
    draft = hands.move_person(plan, who, block=0, to=None, version=plan.version, by=people[0])
    SignUp.objects.filter(person=who).update(state=SignUp.State.WITHDRAWN)
    with pytest.raises(Refused, match="The day has changed since"):
        hands.undo(draft, version=draft.version, by=people[0])
    assert day.plans.get(state=CrewPlan.State.DRAFT) == draft


def test_hands_on_a_plan_with_somebody_who_withdrew_are_refused_by_name(drafted: Drafted) -> None:
    day, people, work, plan = drafted
    lead, others = people[0], Person.objects.filter(placements__crew__plan=plan)
    gone, other, *_ = others.exclude(pk=people[0].pk).distinct()
    day.sign_ups.filter(person=gone).update(state=SignUp.State.WITHDRAWN)
    said, v = f"{gone.name} does not come to this day any more.", plan.version
    acts: list[Callable[[], CrewPlan]] = [
        lambda: hands.take_job_out(plan, work[0].pk, version=v, by=lead),
        lambda: hands.shift_job(plan, work[0].pk, places=1, version=v, by=lead),
        lambda: hands.move_person(plan, other, block=0, to=None, version=v, by=lead),
        lambda: hands.move_person(plan, gone, block=0, to=None, version=v, by=lead),
        lambda: hands.lock_crew(plan, lead, block=0, locked=True, version=v, by=lead),
    ]
    for act in acts:
        with pytest.raises(Refused, match=said):
            act()
    assert day.plans.count() == 1


def test_two_change_places_and_a_job_goes_out_and_comes_back(drafted: Drafted) -> None:
    _, people, work, plan = drafted
    placed = {m for crew in plan_of(plan).crews if crew.block == 0 for m in crew.members}
    lead, (one, other) = people[0], [p for p in people[1:] if f"p{p.pk}" in placed][:2]
    away = hands.move_person(plan, one, block=0, to=None, version=plan.version, by=lead)
    swapped = hands.swap_people(away, one, other, block=0, version=away.version, by=lead)
    members = {m for crew in plan_of(swapped).crews if crew.block == 0 for m in crew.members}
    assert (f"p{one.pk}" in members, f"p{other.pk}" in members) == (True, False)
    job = next(t.job for crew in plan_of(swapped).crews for t in crew.jobs)
    out = hands.take_job_out(swapped, int(job[1:]), version=swapped.version, by=lead)
    assert drafting.redraft(out.day, rounds=ROUNDS).kept_out.get().job_id == int(job[1:])
    out = out.day.plans.get(state=CrewPlan.State.DRAFT)
    assert job not in {task.job for crew in plan_of(out).crews for task in crew.jobs}
    back = hands.move_job(out, int(job[1:]), block=0, to=lead, version=out.version, by=lead)
    assert job in {task.job for crew in plan_of(back).crews for task in crew.jobs}
    last = max(plan_of(back).crews[0].jobs, key=lambda task: task.start)
    with pytest.raises(Refused, match="last job"):
        hands.shift_job(back, int(last.job[1:]), places=1, version=back.version, by=lead)
    with pytest.raises(Refused, match="in the meantime"):
        hands.take_job_out(back, work[0].pk, version=out.version, by=lead)
