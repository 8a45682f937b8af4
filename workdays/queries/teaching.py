"""Who is new to what a clinic teaches, and how many such people it has places for."""

from collections.abc import Iterable
from datetime import datetime

from training.queries import standing_of
from workdays.models import KindOfWork, SignUp, Workday
from workdays.queries.days import local_date
from workdays.queries.ground import settings_of
from workdays.rules import teaching as rules
from workdays.rules.eligibility import NEEDS_A_PLACE
from workdays.rules.teaching import Teaching


def teaching_of(day: Workday, rows: Iterable[SignUp], *others: int) -> Teaching:
    """Return the facts of a clinic about these sign-ups and other people, by id.

    Six statements; none for a day that teaches nothing.
    """
    if day.purpose != Workday.Purpose.CLINIC or day.teaches is None:
        return Teaching()
    every = list(rows)
    people = {row.person_id for row in every} | set(others)
    levels = standing_of(people, cemetery_number=day.cemetery_id, on=local_date(day))
    coming = [row.person_id for row in every if row.state == SignUp.State.COMING]
    limit = rules.Limit(day.teaches.key, _each(day), day.teachers)
    return rules.teaching(limit, levels, coming)


def _each(day: Workday) -> int:
    settings = settings_of(day.cemetery)
    guarded = KindOfWork.objects.filter(skill=day.teaches_id, needs_supervisor=True).exists()
    return rules.each_of(
        of_day=day.learners_per_teacher,
        of_clinics=int(settings["learners_per_teacher"]),
        beside_work=int(settings["trainees_per_supervisor"]) if guarded else None,
    )


def teaching_words(day: Workday, *, now: datetime, in_all: int | None = None) -> str:
    """Return what is left for people new to what a clinic teaches, or nothing for a workday.

    ``in_all``: places left for anybody, where only a narrower limit is worth saying.
    """
    if day.purpose != Workday.Purpose.CLINIC or day.teaches is None:
        return ""
    rows = list(SignUp.objects.filter(day=day, state__in=NEEDS_A_PLACE))
    found = teaching_of(day, rows)
    held = [row for row in rows if row.held_until is None or row.held_until > now]
    taken = sum(row.person_id in found.new for row in held)
    return rules.words(day.teaches.name, places=found.places or 0, taken=taken, in_all=in_all)
