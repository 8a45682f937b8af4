"""On the morning: what is said of those who are missing, and planning the rest of the day again."""

from datetime import datetime, timedelta

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW, START
from tests.workdays.test_drafting import workable_day
from workdays import drafting
from workdays.actions.erasing import erase
from workdays.actions.hands import undo
from workdays.actions.plan_now import Asked, note_missing, plan_from_now
from workdays.actions.plans import publish_plan
from workdays.actions.roll import arrive, close_day, leave
from workdays.models import CrewPlan, Job, PlanRun, SignUp, Workday
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of
from workdays.queries.roll import planned_jobs, planned_times
from workdays.rules.crew import violations

pytestmark = pytest.mark.django_db
MORNING = START + timedelta(minutes=5)
SINCE = START + timedelta(minutes=15)


def published_day(jobs: int = 6) -> tuple[Workday, list[Person], CrewPlan]:
    """A published day whose lead and three helpers are all expected at nine."""
    day, people, _ = workable_day(jobs=jobs)
    Job.objects.update(most=4, person_minutes=240)  # enough for four people all day
    factories.sign_off(people[1], "cleaning")  # so that two new people may be in one crew
    plan = drafting.redraft(day, rounds=300)
    publish_plan(plan, by=people[0], now=NOW)
    plan.refresh_from_db()
    SentMessage.objects.all().delete()
    return day, people, plan


def come(day: Workday, *people: Person, at: datetime = START) -> None:
    for person in people:
        arrive(day, person, at=at, by=people[0], now=max(at, MORNING))


def ask(day: Workday, plan: CrewPlan, words: dict[int, datetime | None], most: int = 5) -> PlanRun:
    by = Person.objects.earliest("pk")
    return plan_from_now(day, Asked(SINCE, most, plan.version), words, by=by, now=MORNING)


def carried_out(run: PlanRun) -> CrewPlan:
    """The draft that comes of a request."""
    drafting.run(run, now=MORNING)
    run.refresh_from_db()
    assert run.plan is not None, run.words
    return run.plan


def test_a_missing_helper_is_left_out_and_the_rest_goes_on_from_a_quarter_past() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    missing = people[3]
    draft = carried_out(ask(day, plan, {missing.pk: None}))
    assert draft.begins_at == SINCE
    after = plan_of(draft)
    placed = {key for crew in after.crews for key in crew.members}
    assert placed == {f"p{person.pk}" for person in people[:3]}
    begun = {t.job for crew in plan_of(plan).crews for t in crew.jobs if t.start < 1}
    assert begun <= {t.job for crew in after.crews for t in crew.jobs}
    said = [sentence for _when, sentences in draft.difference for sentence in sentences]
    assert f"Crew 1: {missing.name} is not there." in said
    assert said[-1] == "Nobody else moves."
    assert publish_plan(draft, by=people[0], now=MORNING) == 3
    mails = {mail.person_id: mail.text for mail in SentMessage.objects.filter(reason="crew")}
    assert missing.pk not in mails
    assert all("the plan has changed from 9:15 on" in text for text in mails.values())
    assert all("is not there" not in text for text in mails.values())


def test_who_still_comes_is_planned_from_then_on_and_nothing_said_is_lost() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    late = people[3]
    half_past = START + timedelta(minutes=30)
    for words in (
        {late.pk: half_past},
        {late.pk: half_past},
        {late.pk: None},
        {late.pk: half_past},
    ):
        note_missing(day, words, by=people[0], now=MORNING)
    entries = AuditEntry.objects.filter(verb__startswith="noted as").order_by("pk")
    assert [entry.verb.split()[-1] for entry in entries] == ["coming"] * 3
    assert entries[1].detail["was"] == [half_past.isoformat(), None]
    draft = carried_out(ask(day, plan, {}))
    facts = planning_facts(day)
    assert facts.now == 1
    assert facts.person[f"p{late.pk}"].arrive == 2
    assert violations(facts, plan_of(draft)) == []


def test_a_lead_who_is_missing_lets_the_work_go_and_another_takes_the_crew_over() -> None:
    day, people, plan = published_day()
    Person.objects.filter(pk=people[1].pk).update(may_lead=True)
    come(day, *people[1:])
    draft = carried_out(ask(day, plan, {people[0].pk: None}))
    assert draft.crews.filter(lead=people[1], name="Crew 1").exists()
    said = [sentence for _when, sentences in draft.difference for sentence in sentences]
    assert f"Crew 1 has lost its lead; {people[1].name} leads it now." in said
    tasks = [task for crew in plan_of(draft).crews for task in crew.jobs]
    assert tasks
    assert min(task.start for task in tasks) >= 1


def test_asked_twice_it_is_one_request_and_another_wish_is_another() -> None:
    day, people, plan = published_day()
    come(day, *people)
    assert ask(day, plan, {}) == ask(day, plan, {})
    assert ask(day, plan, {}, most=0) != ask(day, plan, {})
    assert PlanRun.objects.filter(begins_at=SINCE).count() == 2


def test_a_request_that_cannot_be_is_refused_in_words_and_keeps_nothing() -> None:
    day, people, plan = published_day()
    with pytest.raises(Refused, match="Nobody is here yet"):
        ask(day, plan, {people[0].pk: None})
    assert not SignUp.objects.filter(not_coming_at__isnull=False).exists()
    come(day, *people)
    by = people[0]
    for since, version, now, why in [
        (START, plan.version, MORNING, "has begun"),
        (SINCE + timedelta(minutes=1), plan.version, MORNING, "quarter hour"),
        (day.ends_at, plan.version, MORNING, "quarter hour"),
        (SINCE, plan.version + 1, MORNING, "published meanwhile"),
        (SINCE, plan.version, NOW, "three hours before"),
        (SINCE, plan.version, day.ends_at, "is left"),
    ]:
        with pytest.raises(Refused, match=why):
            plan_from_now(day, Asked(since, 5, version), {}, by=by, now=now)
    CrewPlan.objects.update(state=CrewPlan.State.OLD)
    with pytest.raises(Refused, match="No plan of this day is published"):
        ask(day, plan, {})
    Workday.objects.filter(pk=day.pk).update(state=Workday.State.CALLED_OFF)
    for act in (lambda: ask(day, plan, {}), lambda: note_missing(day, {}, by=by, now=MORNING)):
        with pytest.raises(Refused, match="called off"):
            act()


def test_who_is_on_the_roll_or_has_no_place_is_left_as_they_are() -> None:
    day, people, _plan = published_day()
    come(day, *people)
    stranger = factories.make_person()
    words = {people[1].pk: None, stranger.pk: None, 10**9: None}
    assert note_missing(day, words, by=people[0], now=MORNING) == 0


def test_a_limit_that_no_plan_keeps_is_named_with_what_to_allow() -> None:
    day, people, plan = published_day()
    come(day, people[0], people[1])  # two new people for one signed off would be too few hands
    Job.objects.update(fewest=3)
    run = ask(day, plan, {people[2].pk: None, people[3].pk: None}, most=0)
    drafting.run(run, now=MORNING)
    run.refresh_from_db()
    assert run.state == PlanRun.State.FAILED
    assert "moves more than 0 people" in run.words
    assert "move" in run.words
    assert CrewPlan.objects.get(state=CrewPlan.State.PUBLISHED) == plan


def test_a_plan_that_was_made_for_an_earlier_hour_is_not_published_late() -> None:
    day, people, plan = published_day()
    come(day, *people[1:])
    Person.objects.filter(pk=people[1].pk).update(may_lead=True)
    draft = carried_out(ask(day, plan, {people[0].pk: None}))
    with pytest.raises(Refused, match="begin more than half an hour ago that did not begin then"):
        publish_plan(draft, by=people[1], now=SINCE + timedelta(minutes=45))
    draft.refresh_from_db()
    assert draft.state == CrewPlan.State.DRAFT
    assert publish_plan(draft, by=people[1], now=SINCE + timedelta(minutes=15)) == 3


def test_hands_and_undo_go_on_with_the_rest_of_the_day() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    draft = carried_out(ask(day, plan, {people[3].pk: None}))
    publish_plan(draft, by=people[0], now=MORNING)
    draft.refresh_from_db()
    again = drafting.redraft(day, rounds=100)
    assert again.begins_at == SINCE
    assert violations(planning_facts(day), plan_of(again)) == []
    back = undo(again, version=again.version, by=people[0])
    assert (back.pk, back.begins_at) == (draft.pk, SINCE)


def test_what_had_ended_before_counts_when_the_day_is_closed() -> None:
    day, people, plan = published_day()
    come(day, *people)
    whole = {job.pk for job in planned_jobs(day)}
    noon = START + timedelta(hours=3)
    ended = {
        row.job_id for crew in plan.crews.all() for row in crew.crew_jobs.filter(ends_at__lte=noon)
    }
    leave(day, people[3], at=noon, by=people[0], now=noon)
    asked = Asked(noon + timedelta(minutes=30), 5, plan.version)
    run = plan_from_now(day, asked, {}, by=people[0], now=noon + timedelta(minutes=20))
    draft = carried_out(run)
    assert ended
    assert not ended & {number for crew in draft.crews.all() for number in _jobs(crew)}
    publish_plan(draft, by=people[0], now=noon)
    assert ended <= {job.pk for job in planned_jobs(day)} <= whole
    assert set(planned_times(day)) >= ended
    closing = close_day(day, {}, by=people[0], now=day.ends_at)
    assert closing.done >= len(ended)


def _jobs(crew: object) -> set[int]:
    return set(crew.crew_jobs.values_list("job_id", flat=True))  # type: ignore[attr-defined]


def test_nobody_who_is_erased_is_named_in_what_changes() -> None:
    day, people, plan = published_day()
    come(day, *people[:3])
    draft = carried_out(ask(day, plan, {people[3].pk: None}))
    assert people[3].name in str(draft.difference)
    erase(people[3].pk, now=day.ends_at + timedelta(hours=1))
    draft.refresh_from_db()
    assert people[3].name not in str(draft.difference)
    assert "Nobody else moves." in str(draft.difference)


def test_what_a_missing_person_was_to_bring_is_not_there() -> None:
    day, people, plan = published_day()
    SignUp.objects.filter(person=people[3]).update(brings={"bucket": 2})
    come(day, *people[:3])
    assert planning_facts(day).kit.get("bucket") == 2
    carried_out(ask(day, plan, {people[3].pk: None}))
    assert "bucket" not in planning_facts(day).kit
