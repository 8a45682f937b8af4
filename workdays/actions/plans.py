"""Ask for a plan, publish it."""

from datetime import datetime, timedelta

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import plan_mail
from workdays.actions.replanning import request_plan
from workdays.models import CrewPlan, PlanRun, Workday
from workdays.queries.gone import refusals_in_words
from workdays.queries.locking import locked_day
from workdays.queries.plan_difference import against_published
from workdays.queries.plan_keys import slot_of
from workdays.queries.planning import planning_facts
from workdays.queries.plans import plan_of, published_plan
from workdays.rules.begun import begun_anew
from workdays.rules.crew import violations
from workdays.rules.facts import DayFacts, Plan
from workdays.rules.parties import adults_lacking
from workdays.rules.refusals import Refusal
from workdays.rules.rest import rest_of, without_the_past

LATE = timedelta(minutes=30)
TOO_LATE = (
    "This plan lets work begin more than half an hour ago that did not begin then ({job}): it was "
    "made for an earlier hour. Plan again with who is here, then publish that plan."
)


def refuse_shut(day: Workday) -> None:
    """Raise Refused for a day whose plan is not changed any more."""
    if day.state in {Workday.State.CALLED_OFF, Workday.State.CLOSED}:
        said = f"This day is {day.get_state_display()}; its plan is not changed any more."
        raise Refused([Refusal("shut", said)])


@transaction.atomic
def ask_for_plan(
    day: Workday, *, by: Person, effort: PlanRun.Effort = PlanRun.Effort.QUICK
) -> PlanRun:
    """Ask the worker to plan a day anew; a request that still runs is given instead."""
    row = locked_day(day.pk)
    refuse_shut(row)
    running = row.plan_runs.filter(kind=PlanRun.Kind.PLAN, state__in=PlanRun.OPEN).first()
    return running or request_plan(row, audit.by_login(by), effort)


@transaction.atomic
def publish_plan(plan: CrewPlan, *, by: Person, now: datetime) -> int:
    """Publish a draft; tell those whose part is new or changed. Return how many were told.

    Raises Refused, in sentences, when the day changed so that the plan breaks a rule.
    """
    day = locked_day(plan.day_id)
    refuse_shut(day)
    row = CrewPlan.objects.select_for_update().get(pk=plan.pk)
    if row.state != CrewPlan.State.DRAFT:
        raise Refused([Refusal("stale", "This draft was replaced or is published already.")])
    facts = planning_facts(day)
    broken = violations(facts, plan_of(row))
    if broken:
        raise Refused(refusals_in_words(day, broken))
    adults = sum(person.adult for person in facts.people)
    if lacking := adults_lacking(adults=adults, minors=len(facts.people) - adults):
        raise Refused([Refusal("adults", lacking)])
    before = published_plan(day)
    if before:
        _refuse_late(row, before, slot_of(day, now - LATE), facts)
    old, found = plan_of(before) if before else Plan(), against_published(day, plan_of(row), facts)
    day.plans.filter(state=CrewPlan.State.PUBLISHED).update(state=CrewPlan.State.OLD)
    row.state, row.published_at, row.published_by = CrewPlan.State.PUBLISHED, now, by
    row.save(update_fields=["state", "published_at", "published_by", "changed_at"])
    audit.record(audit.by_login(by), "published", row, {"day": day.pk, "value": row.value})
    old, away = _left_of(old, facts)
    return plan_mail.tell(day, row, old, now=now, changes=found.said, away=away)


def _refuse_late(row: CrewPlan, before: CrewPlan, by: int, facts: DayFacts) -> None:
    """Raise Refused where a computed plan lets work begin long ago that did not begin then.

    What hands changed is let through: so the plan can be made to say what was really done.
    """
    late = begun_anew(plan_of(before), plan_of(row), by)
    if late and row.change == CrewPlan.Change.PLANNED:
        raise Refused([Refusal("late", TOO_LATE.format(job=facts.job[late[0]].label))])


def _left_of(old: Plan, facts: DayFacts) -> tuple[Plan, set[str]]:
    """Return what is left of an older plan where the new one begins, and who is away by then."""
    if facts.now is None:
        return old, set()
    away = {one.id for one in facts.people if one.leave <= max(one.arrive, facts.now)}
    return without_the_past(facts, rest_of(old, facts.now)), away
