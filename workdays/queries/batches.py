"""The jobs of a date that use a mixed material, and the batches that they use up together."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import ceil, floor

from django.db.models import QuerySet

from workdays.models import Cemetery, Job, KindOfWork, MixedMaterial, Workday
from workdays.queries.backlog import where_of
from workdays.queries.days import DayRow, day_rows, days_to_come, local_date
from workdays.queries.ground import today_at
from workdays.queries.readiness import outlooks_of, readiness_of
from workdays.rules.batches import (
    Bucket,
    Filling,
    Use,
    batches_heading,
    day_words_of,
    filling_words,
    fillings,
)
from workdays.rules.chain_words import litres_words
from workdays.rules.counting import measured, some
from workdays.rules.outlook import Outlook, ready_words
from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import day_words

WAITING_SHOWN = 20


@dataclass(frozen=True)
class Batch:
    """Jobs that share batches; ``meant``: all of them are meant for the day already."""

    words: str
    wasteful: bool
    jobs: list["BatchJob"]
    meant: bool


@dataclass(frozen=True)
class BatchJob:
    """A job that uses a mixed material; ``ready``: when it may be done, if not on the date."""

    job: Job
    where: str
    litres: str
    how_long: str
    ready: str = ""


@dataclass(frozen=True)
class MaterialPart:
    """One material: its batches on the date, and the jobs that use it but wait."""

    material: MixedMaterial
    words: str
    size: str
    batches: list[Batch]
    waiting: list[BatchJob]
    more_waiting: int


@dataclass(frozen=True)
class BatchesPage:
    """Everything that the page of batches shows; ``day``: what is planned there on the date."""

    heading: str
    on: date
    when: str
    day: DayRow | None
    parts: list[MaterialPart]
    cautions: list[KindOfWork]


@dataclass(frozen=True)
class _OnDate:
    """How each job stands on the date, by id, and what is meant for it."""

    on: date
    refusals: Mapping[int, Sequence[Refusal]]
    outlooks: Mapping[int, Outlook]
    meant: Collection[int]


def default_date(cemetery: Cemetery, *, now: datetime) -> date:
    """Return the date of the next day planned at a cemetery, else today."""
    day = _days(cemetery, now).first()
    return local_date(day) if day else today_at(cemetery, now=now)


def batches_page(cemetery: Cemetery, *, on: date, now: datetime) -> BatchesPage:
    """Return which jobs use up whole batches on a date, by material."""
    day = next((day for day in _days(cemetery, now) if local_date(day) == on), None)
    rows = cemetery.jobs.filter(state=Job.State.OPEN, material_litres__isnull=False)
    jobs = list(rows.select_related("kind", "stone", "section", "material"))
    found = _on_date(jobs, on, day)
    materials = MixedMaterial.objects.all()
    parts = [
        _part(one, [job for job in jobs if job.material_id == one.pk], found) for one in materials
    ]
    when = day_words(on, today=today_at(cemetery, now=now))
    kinds = {job.kind_id: job.kind for job in jobs}
    return BatchesPage(
        heading=batches_heading(cemetery.name, when, [part.words for part in parts]),
        on=on,
        when=when,
        day=day_rows([day], now=now)[0] if day else None,
        parts=parts,
        cautions=list(kinds.values()),
    )


def _days(cemetery: Cemetery, now: datetime) -> "QuerySet[Workday]":
    days = days_to_come(Cemetery.objects.filter(pk=cemetery.pk), now=now)
    return days.filter(state__in=Workday.COMING)


def _on_date(jobs: Sequence[Job], on: date, day: Workday | None) -> _OnDate:
    outlooks = outlooks_of(jobs, on)
    refusals: dict[int, Sequence[Refusal]] = {pk: one.refusals for pk, one in outlooks.items()}
    if day:
        refusals |= readiness_of(jobs, on, starts_at=day.starts_at, ends_at=day.ends_at)
    meant = set(day.jobs.values_list("pk", flat=True)) if day else set()
    return _OnDate(on, refusals, outlooks, meant)


def _part(material: MixedMaterial, jobs: Sequence[Job], found: _OnDate) -> MaterialPart:
    bucket = bucket_of(material)
    ready = {job.pk: job for job in jobs if not found.refusals[job.pk]}
    waiting = [job for job in jobs if job.pk not in ready]
    filled = fillings([_use(job) for job in ready.values()], bucket)
    hours = measured(material.workable_hours, "hour")
    return MaterialPart(
        material=material,
        words=day_words_of(filled, bucket),
        size=f"One batch is {litres_words(material.batch_litres)} and can be worked for {hours}",
        batches=[_batch(one, ready, bucket, found) for one in filled],
        waiting=[_batch_job(job, found) for job in waiting[:WAITING_SHOWN]],
        more_waiting=max(0, len(waiting) - WAITING_SHOWN),
    )


def bucket_of(material: MixedMaterial) -> Bucket:
    """Return the size of a batch for the rule, rounded down to be safe."""
    decilitres = floor(round(material.batch_litres * 10, 6))
    return Bucket(max(1, decilitres), max(1, floor(material.workable_hours * 60)))


def decilitres_of(job: Job) -> int:
    """Return how much of its mixed material a job uses, rounded up to be safe."""
    return max(1, ceil(round((job.material_litres or 0) * 10, 6)))


def _use(job: Job) -> Use:
    return Use(job.pk, job.priority, decilitres_of(job), _minutes(job))


def _minutes(job: Job) -> int:
    return ceil(job.minutes_to_do / job.most)


def _batch(filling: Filling, jobs: Mapping[int, Job], bucket: Bucket, found: _OnDate) -> Batch:
    return Batch(
        words=filling_words(filling, bucket),
        wasteful=filling.wastes_half(bucket),
        jobs=[_batch_job(jobs[pk]) for pk in filling.jobs],
        meant=set(filling.jobs) <= set(found.meant),
    )


def _batch_job(job: Job, found: _OnDate | None = None) -> BatchJob:
    return BatchJob(
        job=job,
        where=where_of(job),
        litres=litres_words(job.material_litres or 0),
        how_long=f"{some(_minutes(job), 'minute')} with {job.most} people",
        ready=_ready(job, found) if found else "",
    )


def _ready(job: Job, found: _OnDate) -> str:
    """Return when a job that waits may be done; quiet hours of the date say it themselves."""
    later = found.outlooks[job.pk].ready_on
    later = later if later and later > found.on else None
    return ready_words(Outlook(tuple(found.refusals[job.pk]), later), today=found.on)
