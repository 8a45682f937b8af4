"""Days that are over: planned, worked, closed, and most of their hours countersigned."""

import random
from datetime import timedelta

from coordinator.models import Person
from training import actions as training
from training.models import HoursEntry
from training.rules.countersign import CONFIRMED, Word
from workdays import drafting
from workdays.actions.roll import arrive, close_day, leave
from workdays.models import CrewPlan, Job, Workday
from workdays.queries.roll import planned_times


def work(day: Workday, jobs: list[Job], *, staff: Person, dice: random.Random, rounds: int) -> None:
    """Plan a day, let everybody come and go, and close it that evening."""
    day.jobs.set(jobs)
    plan = drafting.redraft(day, seed=1, by=staff, rounds=rounds)
    plan.state, plan.published_at, plan.published_by = (
        CrewPlan.State.PUBLISHED,
        day.starts_at - timedelta(days=1),
        staff,
    )
    plan.save(update_fields=["state", "published_at", "published_by"])
    evening = day.ends_at + timedelta(hours=1)
    for sign_up in day.sign_ups.select_related("person").order_by("pk"):
        came = (sign_up.comes_at or day.starts_at) + timedelta(minutes=dice.choice([-10, -5, 0]))
        left = day.ends_at - timedelta(minutes=dice.choice([0, 0, 0, 30]))
        if dice.random() < 0.94:
            arrive(day, sign_up.person, at=came, by=staff, now=evening)
            leave(day, sign_up.person, at=left, by=staff, now=evening)
    took = _took(day, dice)
    close_day(day, _left_over(day, dice), took=took, by=staff, now=evening)


def _left_over(day: Workday, dice: random.Random) -> dict[int, int]:
    planned = Job.objects.filter(crew_jobs__crew__plan__day=day).distinct().order_by("pk")
    return {job.pk: 30 for job in planned if dice.random() < 0.1}


def _took(day: Workday, dice: random.Random) -> dict[int, int]:
    """Return what most jobs took: some less than planned, some more."""
    return {
        job: max(5, round(time.person_minutes * dice.choice([0.7, 0.8, 0.9, 1, 1.1, 1.3])))
        for job, time in sorted(planned_times(day).items())
        if dice.random() < 0.8
    }


def countersign(judges: dict[str, Person], *, but_for: Workday) -> None:
    """Countersign the hours of every day but one, whose hours wait for a word."""
    for entry in HoursEntry.objects.exclude(day_number=but_for.pk).select_related("skill"):
        judge = judges[entry.skill.key]
        if judge.pk != entry.person_id:
            training.countersign(entry, Word(CONFIRMED, entry.minutes, entry.stones), by=judge)
