"""Add and change the jobs of a cemetery."""

from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from typing import Any

from django.db import transaction
from django.db.models import Q, QuerySet

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import change, plain, written
from workdays.actions.jobs_of_days import TakenOff, take_blocked_off_days
from workdays.actions.needs import take_off_need
from workdays.actions.step_values import mix_in, times_in
from workdays.models import Cemetery, Job, KindOfWork
from workdays.queries.backlog import waiting_edges
from workdays.queries.ground import today_at
from workdays.queries.minutes import learned_at, size_of_stone
from workdays.rules.chain_step import refusals_to_mix, refusals_to_times
from workdays.rules.finishing import done_at, refusals_to_finish
from workdays.rules.job_shape import JobShape, refusals_to_shape
from workdays.rules.prerequisites import circles, refusals_to_circles
from workdays.rules.suggesting import USUAL

NOTED = "noted as done without the closing of a day"


@transaction.atomic
def add_job(
    cemetery: Cemetery,
    values: Mapping[str, Any],
    *,
    prerequisites: Sequence[Job] = (),
    by: Person,
) -> Job:
    """Add a job to the backlog; where it is comes from its stone, or for raking its section.

    Without person-minutes it gets what was learned for such work, else the estimate.
    """
    cemetery = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
    values = _placed(values)
    guess = values["person_minutes"] is None
    values |= _expected(cemetery, values) if guess else {}
    _check(None, cemetery, values, prerequisites)
    values = _chosen(values, USUAL, values["person_minutes"] if guess else None)
    job = Job.objects.create(cemetery=cemetery, **values)
    job.prerequisites.set(prerequisites)
    detail = written(job, values) | {"prerequisites": [other.pk for other in prerequisites]}
    audit.record(audit.by_login(by), "added", job, detail)
    return job


@transaction.atomic
def change_job(
    job: Job,
    values: Mapping[str, Any],
    *,
    prerequisites: Sequence[Job],
    by: Person,
    now: datetime,
) -> list[TakenOff]:
    """Change a job; return the days it leaves because it may no longer be done on them."""
    # One writer of a cemetery's chains at a time: two half circles must not meet.
    cemetery = Cemetery.objects.select_for_update().get(pk=job.cemetery_id)
    row = Job.objects.select_for_update().get(pk=job.pk)
    values = _placed(values)
    _check(row.pk, cemetery, values, prerequisites)
    told = _chosen(values, row.priority, row.person_minutes) | _done(row, values, now)
    changed = _tie(row, values) | change(row, told)
    before = sorted(row.prerequisites.values_list("pk", flat=True))
    after = sorted(other.pk for other in prerequisites)
    if before != after:
        row.prerequisites.set(prerequisites)
        changed["prerequisites"] = [before, after]
    if not changed:
        return []
    audit.record(audit.by_login(by), "changed", row, changed)
    if "state" in changed and row.state == Job.State.DONE:
        take_off_need(row, on=today_at(cemetery, now=now), source=NOTED)
    return take_blocked_off_days(_concerned(row), by=by, now=now)


@transaction.atomic
def finish_job(
    job: Job, *, on: date, at: time | None, words: str, by: Person, now: datetime
) -> list[TakenOff]:
    """Note that a job was done on a day, without a workday or before it was noted.

    ``at`` None: some time that day, so what waits for it counts from the day's end. ``words`` say
    who did it and how; they are added to the notes. Returns the days that the job leaves.
    """
    row = Job.objects.select_for_update(of=("self",)).select_related("cemetery").get(pk=job.pk)
    said = done_at(on, at, zone=row.cemetery.zone, now=now)
    refusals = refusals_to_finish(said, now=now, is_open=row.state == Job.State.OPEN)
    if refusals:
        raise Refused(refusals)
    notes = "\n".join(part for part in (row.notes, words) if part)
    values = {"state": Job.State.DONE, "done_at": said, "minutes_left": 0, "notes": notes}
    audit.record(audit.by_login(by), "noted done", row, change(row, values))
    take_off_need(row, on=said.date(), source=NOTED)
    return take_blocked_off_days(_concerned(row), by=by, now=now)


@transaction.atomic
def change_kind(kind: KindOfWork, values: Mapping[str, Any], *, by: Person) -> None:
    """Change the words of a kind of work: its caution, who may, what to fetch.

    Raises Refused for what it does to a stone: that is a rule, and stays.
    """
    row = KindOfWork.objects.select_for_update().get(pk=kind.pk)
    changed = change(row, values)
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


def _tie(job: Job, values: Mapping[str, Any]) -> dict[str, Any]:
    """Give a job its kind and its stone; the sweep that ends ``change_job`` judges it anew."""
    tied = {name: values[name] for name in ("kind", "stone")}
    changed = {
        name: [plain(getattr(job, name)), plain(after)]
        for name, after in tied.items()
        if getattr(job, name) != after
    }
    if changed:
        job.kind, job.stone = tied["kind"], tied["stone"]
        job.save(update_fields=["kind", "stone"])
    return changed


def _concerned(job: Job) -> "QuerySet[Job]":
    """Return the jobs whose readiness a change of this one may alter."""
    same_stone = Q(stone=job.stone_id) if job.stone_id else Q()
    ids = Job.objects.filter(Q(pk=job.pk) | Q(prerequisites=job) | same_stone).values("pk")
    return Job.objects.filter(pk__in=ids)


def _done(job: Job, values: Mapping[str, Any], now: datetime) -> dict[str, Any]:
    """Return when the job was done and what is left, where a change of its state alters that.

    Of a job that is done after all nothing is left; one that was not done after all is begun anew.
    """
    state = values.get("state", job.state)
    if state == job.state:
        return {}
    if state == Job.State.DONE:
        return {"done_at": now, "minutes_left": 0}
    return {"done_at": None} | ({"minutes_left": None} if job.state == Job.State.DONE else {})


def _chosen(values: Mapping[str, Any], priority: int, minutes: int | None) -> dict[str, Any]:
    """Return the values with a note of what a person chose, against what there was before."""
    chosen: dict[str, Any] = {}
    if values["priority"] != priority:
        chosen["priority_by_hand"] = True
    if values["person_minutes"] != minutes:
        chosen |= {"minutes_by_hand": True, "learned_days": None}
    return {**values, **chosen}


def _expected(cemetery: Cemetery, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the minutes of a new job that nobody gave any: learned, else as estimated."""
    known = learned_at(cemetery)
    work = known.work(values["kind"].pk, None)
    found = known.expected(work, size_of_stone(values["stone"]))
    return {"person_minutes": found.minutes, "learned_days": found.days or None}


def _placed(values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values with the section of the stone, where there is a stone."""
    stone = values["stone"]
    return {**values, "section": stone.section if stone else values["section"]}


def _check(
    job_id: int | None,
    cemetery: Cemetery,
    values: Mapping[str, Any],
    prerequisites: Sequence[Job],
) -> None:
    shape = JobShape(
        needs_stone=not values["kind"].on_section,
        has_stone=values["stone"] is not None,
        here=values["section"] is not None and values["section"].cemetery_id == cemetery.pk,
        priority=values["priority"],
        person_minutes=values["person_minutes"],
        fewest=values["fewest"],
        most=values["most"],
        lifters=values["lifters"],
        lifts=values["kind"].lifts,
    )
    found = circles(job_id, [other.pk for other in prerequisites], waiting_edges(cemetery))
    refusals = [
        *refusals_to_shape(shape),
        *refusals_to_times(times_in(values, after=bool(prerequisites))),
        *refusals_to_mix(mix_in(values)),
        *refusals_to_circles(found, _names(found)),
    ]
    if refusals:
        raise Refused(refusals)


def _names(circles: Sequence[Sequence[int]]) -> dict[int, str]:
    ids = {one for circle in circles for one in circle}
    rows = Job.objects.filter(pk__in=ids) if ids else Job.objects.none()
    return {job.pk: str(job) for job in rows.select_related("kind", "stone", "section")}
