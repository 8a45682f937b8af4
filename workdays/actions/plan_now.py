"""On the morning: say of those who are missing whether they still come, and plan the rest again."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays.actions.replanning import request_plan
from workdays.models import PlanRun, SignUp, Workday
from workdays.queries.locking import locked_day
from workdays.queries.morning import comers_of, frame_of
from workdays.queries.plans import published_plan
from workdays.rules import morning as rules
from workdays.rules.refusals import Refusal
from workdays.rules.rest import Rest

STALE = "Another plan was published meanwhile. Look at it, then ask again if it is still needed."


@dataclass(frozen=True)
class Asked:
    """From when the rest of a day is planned, how many may move, and on which plan it was said."""

    since: datetime
    most_moved: int
    version: int


@transaction.atomic
def note_missing(
    day: Workday, words: Mapping[int, datetime | None], *, by: Person, now: datetime
) -> int:
    """Note of people, by number, when they still come; None: not today. Return how many changed.

    Whoever is on the roll, or has no place, is left as they are. Raises Refused.
    """
    row = locked_day(day.pk)
    refuse(rules.refusals_to_look(row.state, frame_of(row), now, published=True))
    return _note(row, words, by=by, now=now)


@transaction.atomic
def plan_from_now(
    day: Workday,
    asked: Asked,
    words: Mapping[int, datetime | None],
    *,
    by: Person,
    now: datetime,
) -> PlanRun:
    """Ask the worker to plan the rest of a day again, with who is here and still comes.

    Asked twice it is one request. Raises Refused; what was said of people is not kept then.
    """
    row = locked_day(day.pk)
    plan, frame = published_plan(row), frame_of(row)
    refuse(rules.refusals_to_look(row.state, frame, now, published=plan is not None))
    if plan is None or plan.version != asked.version:
        refuse([Refusal("stale", STALE)])
    refuse(rules.refusals_of_wish(asked.since, frame, now, row.cemetery.zone))
    _note(row, words, by=by, now=now)
    refuse(rules.refusals_of_people(rules.morning(comers_of(row), frame, asked.since)))
    waiting = row.plan_runs.filter(
        kind=PlanRun.Kind.PLAN,
        state__in=PlanRun.OPEN,
        begins_at=asked.since,
        max_moved=asked.most_moved,
    )
    rest = Rest(asked.since, asked.most_moved)
    return waiting.first() or request_plan(row, audit.by_login(by), rest=rest)


def _note(day: Workday, words: Mapping[int, datetime | None], *, by: Person, now: datetime) -> int:
    on_the_roll = set(day.roll.values_list("person_id", flat=True))
    rows = day.sign_ups.filter(state=SignUp.State.COMING, person__in=words).order_by("pk")
    return sum(
        _say(row, words[row.person_id], by=by, now=now) for row in _others(rows, on_the_roll)
    )


def _others(rows: Iterable[SignUp], on_the_roll: set[int]) -> Iterable[SignUp]:
    return (row for row in rows if row.person_id not in on_the_roll)


def _say(row: SignUp, at: datetime | None, *, by: Person, now: datetime) -> bool:
    """Store what is said of one person; the same said twice changes nothing."""
    was = row.expected_at, row.not_coming_at
    opens_at = rules.Frame(row.day.starts_at, row.day.ends_at).opens_at
    said_no = row.not_coming_at is not None and row.not_coming_at >= opens_at
    if at == row.expected_at and said_no == (at is None):
        return False
    row.expected_at, row.not_coming_at = at, None if at else now
    row.save(update_fields=["expected_at", "not_coming_at", "changed_at"])
    told = {"expected": at.isoformat() if at else None, "was": [_iso(one) for one in was]}
    verb = "noted as still coming" if at else "noted as not coming"
    audit.record(audit.by_login(by), verb, row, {"day": row.day_id, **told})
    return True


def _iso(moment: datetime | None) -> str | None:
    return moment.isoformat() if moment else None
