"""Keep the roll of a day, and close the day."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from types import MappingProxyType

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from training import actions as training
from training.rules.hours import proposals
from workdays.actions.needs import take_off_need
from workdays.models import Job, JobTime, RollEntry, SignUp, Workday
from workdays.queries.days import local_date
from workdays.queries.locking import locked_day
from workdays.queries.roll import blocks, learning_parts, planned_jobs, planned_times, stays
from workdays.queries.waivers import people_with_waiver
from workdays.rules.refusals import Refusal
from workdays.rules.roll import refusals_to_close, refusals_to_note

NOTHING: Mapping[int, int] = MappingProxyType({})


@dataclass(frozen=True)
class Closing:
    """What closing a day wrote down."""

    hours: int
    done: int
    part_done: int
    still_here: int


@transaction.atomic
def arrive(day: Workday, person: Person, *, at: datetime, by: Person, now: datetime) -> RollEntry:
    """Note that somebody came; noted twice it stays as it is.

    Raises Refused for somebody who is not coming, or without a valid waiver.
    """
    row = locked_day(day.pk)
    refusals = refusals_to_note(row.state, row.starts_at, row.ends_at, at, now)
    if not row.sign_ups.filter(person=person, state=SignUp.State.COMING).exists():
        refusals.append(Refusal("person", "Only people with a place are on the roll."))
    elif person.pk not in people_with_waiver(row, [person.pk]):
        refusals.append(
            Refusal("waiver", f"{person.name} has no valid waiver; ask for it before any work.")
        )
    if refusals:
        raise Refused(refusals)
    return note_arrival(row, person, at=at, by=by)


def note_arrival(day: Workday, person: Person, *, at: datetime, by: Person) -> RollEntry:
    """Write that somebody who may be there came; under the lock of the day, twice does no harm."""
    entry, made = RollEntry.objects.get_or_create(
        day=day, person=person, left_at=None, defaults={"arrived_at": at, "recorded_by": by}
    )
    if made:
        audit.record(audit.by_login(by), "noted arrival", entry, {"at": at.isoformat()})
    return entry


@transaction.atomic
def leave(day: Workday, person: Person, *, at: datetime, by: Person, now: datetime) -> None:
    """Note that somebody left; Refused when they are not on the ground."""
    row = locked_day(day.pk)
    refusals = refusals_to_note(row.state, row.starts_at, row.ends_at, at, now)
    entry = row.roll.filter(person=person, left_at__isnull=True).first()
    if entry is None:
        refusals.append(Refusal("person", f"{person.name} is not on the ground."))
    elif at < entry.arrived_at:
        refusals.append(Refusal("at", "Nobody leaves before they came."))
    if refusals or entry is None:
        raise Refused(refusals)
    entry.left_at = at
    entry.save(update_fields=["left_at"])
    audit.record(audit.by_login(by), "noted leaving", entry, {"at": at.isoformat()})


@transaction.atomic
def close_day(
    day: Workday,
    minutes_left: Mapping[int, int],
    *,
    by: Person,
    now: datetime,
    took: Mapping[int, int] = NOTHING,
) -> Closing:
    """Close a day: end the stays, note the work done, propose the hours.

    ``minutes_left`` gives the person-minutes left of each planned job; 0, or a job not named,
    is done. ``took`` gives the person-minutes that jobs took, where somebody knows; estimates
    are learned from them. Whoever was not noted as leaving left when the day ended, or now if
    that is earlier.
    Raises Refused before the day began, and for a day that is closed or called off.
    """
    row = locked_day(day.pk)
    refusals = refusals_to_close(row.state, row.starts_at, now)
    if refusals:
        raise Refused(refusals)
    still_here = _end_stays(row, min(now, row.ends_at))
    parts, jobs = learning_parts(row), planned_jobs(row)
    done = [job for job in jobs if not minutes_left.get(job.pk)]
    _note_times(row, jobs, minutes_left, took)
    for job in jobs:
        _note_work(job, minutes_left.get(job.pk, 0), row, by, now)
    place = training.Place(row.cemetery_id, row.cemetery.name, local_date(row))
    earned = proposals(row.pk, roll=stays(row), blocks=blocks(row), parts=parts)
    hours = training.propose(earned, place)
    if row.purpose == Workday.Purpose.CLINIC and row.teaches is not None:
        came = row.roll.values_list("person_id", flat=True).distinct()
        training.attended(came, row.teaches, place, day_number=row.pk, by=by)
    row.state, row.closed_at, row.closed_by = Workday.State.CLOSED, now, by
    row.save(update_fields=["state", "closed_at", "closed_by", "changed_at"])
    closing = Closing(hours, len(done), len(jobs) - len(done), still_here)
    audit.record(audit.by_login(by), "closed", row, {"hours": hours, "done": len(done)})
    return closing


def _end_stays(day: Workday, at: datetime) -> int:
    here = list(day.roll.filter(left_at__isnull=True))
    for entry in here:
        entry.left_at = max(at, entry.arrived_at)
    RollEntry.objects.bulk_update(here, ["left_at"])
    return len(here)


def _note_times(
    day: Workday, jobs: Iterable[Job], minutes_left: Mapping[int, int], took: Mapping[int, int]
) -> None:
    """Note what jobs took; nothing for a job of which as much is left as before."""
    planned = planned_times(day)
    rows = []
    for job in jobs:
        left, minutes = minutes_left.get(job.pk, 0), took.get(job.pk, 0)
        if minutes and left < job.minutes_to_do:
            people = max(1, planned[job.pk].people)
            time = JobTime(job=job, day=day, on=local_date(day), person_minutes=minutes)
            time.people, time.finished = people, not left
            rows.append(time)
    JobTime.objects.bulk_create(rows)


def _note_work(job: Job, left: int, day: Workday, by: Person, now: datetime) -> None:
    if left:
        job.minutes_left = left
        job.save(update_fields=["minutes_left"])
        audit.record(audit.by_login(by), "part done", job, {"left": left, "day": day.pk})
        return
    job.state, job.done_at, job.minutes_left = Job.State.DONE, now, 0
    job.save(update_fields=["state", "done_at", "minutes_left"])
    audit.record(audit.by_login(by), "done", job, {"day": day.pk})
    take_off_need(job, on=local_date(day), source="the closing of the day")
