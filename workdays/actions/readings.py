"""Keep what was read on a stone; a stone without a name takes it from there."""

from collections.abc import Sequence
from datetime import date, datetime
from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import change
from workdays.models import Job, RecordedFact, Recording, Stone
from workdays.queries.ground import today_at
from workdays.rules import reading
from workdays.rules.reading import FactRead, refusals_to_keep

SIGN = "record"


@transaction.atomic
def record_reading(
    stone: Stone,
    *,
    on: date,
    lines: Sequence[str],
    facts: Sequence[FactRead],
    notes: str,
    by: Person,
    now: datetime,
) -> Recording:
    """Keep one reading of a stone; end the job that asked for it.

    Name and year of the stone are filled in from it where they were empty, never changed.
    Raises Refused, with the codes of ``rules.reading.refusals_to_keep``.
    """
    row = Stone.objects.select_for_update(of=("self",)).select_related("cemetery").get(pk=stone.pk)
    refusals = refusals_to_keep(on, lines, facts, today=today_at(row.cemetery, now=now))
    if refusals:
        raise Refused(refusals)
    made = Recording.objects.create(stone=row, on=on, by=by, lines=list(lines), notes=notes)
    RecordedFact.objects.bulk_create(
        RecordedFact(
            recording=made,
            order=order,
            subject=fact.subject,
            words=fact.words,
            certainty=fact.certainty,
            origin=fact.origin,
            origin_words=fact.origin_words,
        )
        for order, fact in enumerate(facts)
    )
    filled = change(row, _missing(row, facts))
    detail = {"recording": made.pk, "on": on.isoformat(), "lines": len(lines)} | filled
    audit.record(audit.by_login(by), "read", row, detail)
    _end_jobs(row, by=by, now=now)
    return made


def _missing(stone: Stone, facts: Sequence[FactRead]) -> dict[str, Any]:
    """Return the columns of a stone that were empty and that the facts give."""
    values: dict[str, Any] = {}
    name = _first(facts, RecordedFact.Subject.NAME)
    if name and not stone.name_on_stone:
        values["name_on_stone"] = reading.plain(name.words)[:160]
        values["certainty"] = name.certainty
    died = _first(facts, RecordedFact.Subject.DIED)
    year = reading.year_in(died.words) if died else None
    if year and stone.year_on_stone is None:
        values["year_on_stone"] = year
    return values


def _first(facts: Sequence[FactRead], subject: str) -> FactRead | None:
    return next((fact for fact in facts if fact.subject == subject), None)


def _end_jobs(stone: Stone, *, by: Person, now: datetime) -> None:
    """End the open jobs that asked for this reading, whoever did it and on whatever day."""
    jobs = Job.objects.select_for_update(of=("self",)).filter(
        stone=stone, state=Job.State.OPEN, kind__sign=SIGN
    )
    for job in jobs:
        job.state, job.done_at, job.minutes_left = Job.State.DONE, now, 0
        job.save(update_fields=["state", "done_at", "minutes_left"])
        audit.record(audit.by_login(by), "done", job, {"by": "a reading"})
