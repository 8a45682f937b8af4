"""The only door to the jobs meant for a day: what is not ready stays out, what is barred leaves."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction
from django.db.models import F, QuerySet

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import barred_mail
from workdays.models import CrewJob, CrewPlan, Job, KeptOut, Stone, Workday
from workdays.queries.ground import today_at
from workdays.queries.locking import locked_day
from workdays.queries.readiness import readiness_of
from workdays.queries.took_off import TOOK_OFF
from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import day_words

LIVE_PLANS = (CrewPlan.State.DRAFT, CrewPlan.State.PUBLISHED)


@dataclass(frozen=True)
class TakenOff:
    """A job that left a day to come because it may no longer be done there.

    ``was_planned``: it was in the published plan, so people must be told.
    """

    day: Workday
    job: Job
    refusals: tuple[Refusal, ...]
    was_planned: bool

    @property
    def sentence(self) -> str:
        """Return what happened and why, for the page of the change that led to it."""
        why = " ".join(refusal.sentence for refusal in self.refusals)
        on = day_words(today_at(self.day.cemetery, now=self.day.starts_at))
        told = " It was in the published plan: publish a new one." if self.was_planned else ""
        return f"{self.job} was taken off {on}. {why}{told}"


@transaction.atomic
def put_jobs_on_day(day: Workday, jobs: Iterable[Job], *, by: Person, now: datetime) -> list[Job]:
    """Make exactly these the jobs meant for a day; return those that are new on it.

    Raises Refused, and changes nothing, when one of them may not be done on the day's date;
    a job that was on the day before is judged like any other.
    """
    wanted = list(jobs)
    _hold_still(wanted)
    day = locked_day(day.pk)
    refusals = [*_day_refusals(day, now), *_job_refusals(day, wanted)]
    if refusals:
        raise Refused(refusals)
    before = set(day.jobs.values_list("pk", flat=True))
    after = {job.pk for job in wanted}
    removed = before - after
    day.jobs.set(wanted)
    _cut_from_plans(day, removed)
    if before != after:
        detail = {"added": sorted(after - before), "removed": sorted(removed)}
        audit.record(audit.by_login(by), "chose jobs", day, detail)
    return [job for job in wanted if job.pk not in before]


def _hold_still(jobs: Iterable[Job]) -> None:
    """Lock jobs and their stones, so that no look is concluded from while they are judged.

    Whoever locks takes jobs first, then stones, days, plans.
    """
    rows = Job.objects.select_for_update().filter(pk__in=[job.pk for job in jobs])
    stones = set(rows.order_by("pk").values_list("stone", flat=True))
    list(Stone.objects.select_for_update().filter(pk__in=stones).order_by("pk").values_list("pk"))


@transaction.atomic
def take_blocked_off_days(
    jobs: "QuerySet[Job]", *, by: Person | None, now: datetime
) -> list[TakenOff]:
    """Take those of the jobs off days to come that may no longer be done on them."""
    days = (
        Workday.objects.filter(state__in=Workday.COMING, ends_at__gt=now, jobs__in=jobs)
        .select_related("cemetery")
        .distinct()
        .order_by("starts_at", "pk")
    )
    found = list(days)
    locked = Workday.objects.select_for_update().filter(pk__in=[day.pk for day in found])
    list(locked.order_by("pk").values_list("pk"))
    return [gone for day in found for gone in _leaving(day, jobs, by=by, now=now)]


def _leaving(
    day: Workday, jobs: "QuerySet[Job]", *, by: Person | None, now: datetime
) -> list[TakenOff]:
    gone = _taken_off(day, jobs, by)
    if gone:
        barred_mail.tell(
            day,
            [(one.job.pk, one.sentence) for one in gone],
            planned=sum(one.was_planned for one in gone),
            by=by,
            now=now,
        )
    return gone


def _taken_off(day: Workday, jobs: "QuerySet[Job]", by: Person | None) -> list[TakenOff]:
    """Take barred jobs off one day, then what waited for them there, until nothing is barred."""
    suspects = set(day.jobs.filter(pk__in=jobs.values("pk")).values_list("pk", flat=True))
    gone: list[TakenOff] = []
    while suspects:
        meant = list(day.jobs.select_related("kind", "stone", "section"))
        readiness = _readiness(day, meant)
        barred = [job for job in meant if job.pk in suspects and readiness[job.pk]]
        gone += _leave(day, barred, readiness, by)
        suspects = set(day.jobs.filter(prerequisites__in=barred).values_list("pk", flat=True))
    return gone


def _leave(
    day: Workday, barred: list[Job], readiness: dict[int, list[Refusal]], by: Person | None
) -> list[TakenOff]:
    published = _cut_from_plans(day, {job.pk for job in barred})
    day.jobs.remove(*barred)
    for job in barred:
        why = [refusal.code for refusal in readiness[job.pk]]
        detail = {"day": day.pk, "why": why, "planned": job.pk in published}
        audit.record(audit.by_person(by), TOOK_OFF, job, detail)
    return [TakenOff(day, job, tuple(readiness[job.pk]), job.pk in published) for job in barred]


def _readiness(day: Workday, jobs: list[Job]) -> dict[int, list[Refusal]]:
    on = today_at(day.cemetery, now=day.starts_at)
    return readiness_of(jobs, on, same_day=True, starts_at=day.starts_at, ends_at=day.ends_at)


def _cut_from_plans(day: Workday, job_ids: Collection[int]) -> set[int]:
    """Take jobs out of the draft and the published plan; return those that were published.

    The version rises, so that a hand move made on the older plan is answered with this one.
    """
    rows = CrewJob.objects.filter(
        crew__plan__day=day, crew__plan__state__in=LIVE_PLANS, job__in=job_ids
    )
    found = list(rows.values_list("job", "crew__plan", "crew__plan__state"))
    rows.delete()
    KeptOut.objects.filter(plan__day=day, plan__state__in=LIVE_PLANS, job__in=job_ids).delete()
    plans = {plan for _, plan, _ in found}
    CrewPlan.objects.filter(pk__in=plans).update(version=F("version") + 1)
    return {job for job, _, state in found if state == CrewPlan.State.PUBLISHED}


def _day_refusals(day: Workday, now: datetime) -> list[Refusal]:
    if day.state not in Workday.COMING:
        sentence = f"This day is {day.get_state_display()}: its jobs stay as they are."
        return [Refusal("day-over", sentence)]
    if day.ends_at <= now:
        return [Refusal("day-over", "This day is over: its jobs stay as they are.")]
    return []


def _job_refusals(day: Workday, jobs: list[Job]) -> list[Refusal]:
    readiness = _readiness(day, jobs)
    elsewhere = [
        Refusal("elsewhere", f"{job}: this job is at another cemetery.")
        for job in jobs
        if job.cemetery_id != day.cemetery_id
    ]
    barred = [
        Refusal(refusal.code, f"{job}: {refusal.sentence}")
        for job in jobs
        for refusal in readiness[job.pk]
    ]
    return [*elsewhere, *barred]
