"""Jobs with why each is not ready, and everything that the page of one job shows."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from django.db.models import QuerySet

from workdays.models import Cemetery, Equipment, Job, Workday
from workdays.queries.ground import today_at
from workdays.queries.readiness import outlooks_of, readiness_of
from workdays.queries.step_words import material_words, times_of
from workdays.queries.stone_weight import JobLift, StoneLift, job_lifts, lift_of
from workdays.rules.chain_words import waits_words
from workdays.rules.counting import some
from workdays.rules.numbering import typed_number
from workdays.rules.outlook import ready_words
from workdays.rules.refusals import Refusal, sentences
from workdays.rules.wall_clock import day_words

__all__ = ["choosable", "job_rows", "readiness_of", "waiting_edges", "with_lifts"]


@dataclass(frozen=True)
class JobRow:
    """One job with why it is not ready; none of it for a job that is done or dropped.

    ``lift`` is read by `with_lifts` only.
    """

    job: Job
    where: str
    refusals: tuple[Refusal, ...]
    lift: JobLift | None = None

    @property
    def is_done(self) -> bool:
        """Return whether nothing is to be done any more."""
        return self.job.state != Job.State.OPEN

    @property
    def ready(self) -> bool:
        """Return whether nothing blocks the job."""
        return not self.is_done and not self.refusals

    @property
    def sentences(self) -> list[str]:
        """Return why the job waits, each reason once."""
        return sentences(list(self.refusals))

    @property
    def rests_on(self) -> str:
        """Return where the minutes come from: a person, days that were noted, an estimate."""
        if self.job.minutes_by_hand:
            return "by hand"
        days = self.job.learned_days
        return f"learned from {some(days, 'day')}" if days else "estimate"

    @property
    def amount(self) -> str:
        """Return how much work it is and for how many."""
        job = self.job
        total = job.person_minutes
        left = total if self.is_done else job.minutes_to_do
        minutes = f"{left} of {total} person-minutes left" if left != total else f"{total} min"
        crew = f"{job.fewest}" if job.fewest == job.most else f"{job.fewest} to {job.most}"
        lifters = f", {job.lifters} of them lifting" if job.lifters else ""
        return f"{minutes}, {crew} people{lifters}"


def job_rows(
    jobs: "QuerySet[Job]",
    *,
    on: date,
    same_day: bool = False,
    starts_at: datetime | None = None,
    ends_at: datetime | None = None,
) -> list[JobRow]:
    """Return jobs with why each is not ready on a date, in the order given."""
    rows = list(jobs.select_related("kind", "stone__conclusion", "section"))
    readiness = readiness_of(rows, on, same_day=same_day, starts_at=starts_at, ends_at=ends_at)
    return [JobRow(job, where_of(job), tuple(readiness[job.pk])) for job in rows]


def with_lifts(rows: Iterable[JobRow], *, on: date) -> list[JobRow]:
    """Return rows that know how their stones are lifted; two statements more."""
    kept = list(rows)
    lifts = job_lifts([row.job for row in kept], on=on)
    return [replace(row, lift=lifts.get(row.job.pk)) for row in kept]


def where_of(job: Job) -> str:
    """Return "stone 12", or the section of a job that is at no stone."""
    return f"stone {job.stone.number}" if job.stone else job.section.name


def choosable(day: Workday) -> list[JobRow]:
    """Return the open jobs of a day's cemetery as they stand on its date, ready ones first.

    Prerequisites among all of them count as met: choosing one without the other is refused by
    the action.
    """
    on = day.starts_at.astimezone(day.cemetery.zone).date()
    jobs = day.cemetery.jobs.filter(state=Job.State.OPEN)
    rows = job_rows(jobs, on=on, same_day=True, starts_at=day.starts_at, ends_at=day.ends_at)
    return sorted(rows, key=lambda row: not row.ready)


def waiting_edges(cemetery: Cemetery) -> dict[int, list[int]]:
    """Return which jobs wait for which at a cemetery: id to the ids of its prerequisites."""
    links = Job.prerequisites.through.objects.filter(from_job__cemetery=cemetery)
    edges: dict[int, list[int]] = {}
    for one, other in links.values_list("from_job", "to_job"):
        edges.setdefault(one, []).append(other)
    return edges


@dataclass(frozen=True)
class MeantFor:
    """A day that a job is meant for, in words."""

    day: Workday
    words: str


@dataclass(frozen=True)
class JobPage:
    """Everything that the page of one job shows."""

    heading: str
    row: JobRow
    before: list[Job]
    after: list[Job]
    days: list[MeantFor]
    equipment: str
    ready: str
    waits: str
    material: str


def job_page(job: Job, *, now: datetime) -> JobPage:
    """Return one job, whether it is ready today, its chain and the days it is meant for."""
    today = today_at(job.cemetery, now=now)
    (row,) = with_lifts(job_rows(Job.objects.filter(pk=job.pk), on=today), on=today)
    outlook = outlooks_of([job], today)[job.pk]
    chain = Job.objects.select_related("kind", "stone", "section")
    days = job.days.filter(state__in=Workday.COMING, ends_at__gt=now).order_by("starts_at")
    zone = job.cemetery.zone
    return JobPage(
        heading=f"{job.kind.name} at {row.where}: {_state(row)}",
        row=row,
        before=list(chain.filter(unlocks=job)),
        after=list(chain.filter(prerequisites=job)),
        days=[MeantFor(day, day_words(day.starts_at.astimezone(zone).date())) for day in days],
        equipment=_equipment(job),
        ready="" if row.is_done else ready_words(outlook, today=today),
        waits=_waits(job),
        material=material_words(job),
    )


def _state(row: JobRow) -> str:
    if row.is_done:
        return str(row.job.get_state_display())
    return "ready" if row.ready else "waits"


def _waits(job: Job) -> str:
    """Return the wait, the winter and the season of a job; what it comes after is shown apart."""
    return waits_words(times_of(job, after=bool(job.wait_hours or job.after_winter)), [])


def _equipment(job: Job) -> str:
    names = dict(Equipment.objects.filter(key__in=job.equipment).values_list("key", "name"))
    return ", ".join(f"{count} {names.get(key, key)}" for key, count in job.equipment.items())


def lift_at(cemetery: Cemetery, number: str, *, now: datetime) -> StoneLift | None:
    """Return how the stone of a number would be lifted, for whoever writes a job down."""
    stones = cemetery.stones.select_related("conclusion", "cemetery")
    stone = stones.filter(number=number).first() if number else None
    return lift_of(stone, on=today_at(cemetery, now=now)) if stone else None


def new_job_initial(cemetery: Cemetery, query: Mapping[str, str]) -> dict[str, Any]:
    """Return what the form of a new job shows when it is opened from a stone."""
    number = typed_number(query.get("stone", ""))
    return {"stone": number} if number and cemetery.stones.filter(number=number).exists() else {}
