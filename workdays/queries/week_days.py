"""What is known of the days of the week that comes, and of days that nobody closed."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from datetime import datetime, timedelta
from typing import TypedDict

from django.db.models import Count, Max, Q, QuerySet
from django_stubs_ext import WithAnnotations

from workdays.models import Call, Cemetery, CrewPlan, Job, Notice, SignUp, Workday
from workdays.queries.days import days_at
from workdays.queries.places import places_of
from workdays.queries.took_off import lost_from_plans
from workdays.queries.waivers import people_with_waiver_by_day
from workdays.queries.weather import Outlook, outlooks
from workdays.rules.weather import gravest
from workdays.rules.week import DAYS
from workdays.rules.week_facts import DayNeeds, PlanState

CLOSE_WITHIN = timedelta(days=60)
State = Workday.State


class JobCount(TypedDict):
    """How many jobs are meant for a day."""

    job_count: int


def days_of_week(
    seen: "QuerySet[Cemetery]", *, now: datetime
) -> "QuerySet[WithAnnotations[Workday, JobCount]]":
    """Return days that start or whose call is due within the week, and open ones that are over."""
    until = now + timedelta(days=DAYS)
    near = Q(ends_at__gt=now) & (Q(starts_at__lt=until) | Q(call_by_at__lt=until, state=State.OPEN))
    over = Q(ends_at__lte=now, ends_at__gt=now - CLOSE_WITHIN, state=State.OPEN)
    days = days_at(seen).filter(near | over).exclude(state=State.CLOSED)
    return days.annotate(job_count=Count("jobs")).order_by("starts_at", "pk")


def _calls(ids: Collection[int]) -> set[tuple[int, datetime]]:
    """Return which days have a call that holds for which start."""
    stands = (Call.Decision.STANDS, Call.Decision.SHORTENED)
    rows = Call.objects.filter(day__in=ids, decision__in=stands).order_by()
    return set(rows.values_list("day", "starts_at"))


def _plans(ids: Collection[int]) -> dict[int, PlanState]:
    """Return the newest plan of each day that was not replaced, and whether one waits."""
    plans = (
        CrewPlan.objects.filter(day__in=ids)
        .exclude(state=CrewPlan.State.OLD)
        .annotate(
            crew_names=Count("crews__name", distinct=True),
            job_count=Count("crews__crew_jobs__job", distinct=True),
        )
        .order_by("made_at", "pk")
    )
    by_day: dict[int, PlanState] = {}
    lost = lost_from_plans(ids)
    for plan in plans:
        before = by_day.get(plan.day_id)
        was_published = bool(before and before.is_published)
        is_published = plan.state == CrewPlan.State.PUBLISHED
        by_day[plan.day_id] = PlanState(
            crews=plan.crew_names,
            jobs=plan.job_count,
            is_published=is_published or was_published,
            waits=not is_published,
            lost=lost[plan.day_id],
        )
    return by_day


def _coming(
    days: Iterable[Workday],
) -> tuple[dict[int, list[int]], dict[int, int], dict[int, int]]:
    """Return who comes to each day, how many of them have an open question, how many are minors."""
    rows = SignUp.objects.filter(day__in=days, state=SignUp.State.COMING).order_by("pk")
    people: dict[int, list[int]] = defaultdict(list)
    questions: dict[int, int] = defaultdict(int)
    minors: dict[int, int] = defaultdict(int)
    said = ("day", "person", "question_open", "person__is_adult")
    for day, person, is_open, is_adult in rows.values_list(*said):
        people[day].append(person)
        questions[day] += is_open
        minors[day] += not is_adult
    return people, questions, minors


def _held_until(ids: Collection[int], now: datetime) -> dict[int, datetime]:
    rows = SignUp.objects.filter(
        day__in=ids, state=SignUp.State.UNCONFIRMED, held_until__gt=now
    ).order_by()
    return dict(rows.values_list("day").annotate(last=Max("held_until")))


def _notices(ids: Collection[int]) -> dict[int, tuple[int, int]]:
    """Return how many people of each day were told something, and how many have seen all of it."""
    rows = (
        Notice.objects.filter(day__in=ids, person__erased_at__isnull=True)
        .order_by()
        .values_list("day")
    )
    counts = rows.annotate(
        told=Count("person", distinct=True),
        unseen=Count("person", distinct=True, filter=Q(seen_at__isnull=True)),
    )
    return {day: (told, unseen) for day, told, unseen in counts}


def day_needs(
    seen: "QuerySet[Cemetery]", *, organised: Collection[int], now: datetime
) -> list[DayNeeds]:
    """Return the days of the week with what each needs, in a fixed number of statements."""
    days = list(days_of_week(seen, now=now))
    ids = [day.pk for day in days]
    people, questions, minors = _coming(days)
    signed = people_with_waiver_by_day({day: people[day.pk] for day in days})
    full, plans, calls = places_of(days, now=now), _plans(ids), _calls(ids)
    held, notices = _held_until(ids, now), _notices(ids)
    weather = _weather([day for day in days if (day.pk, day.starts_at) not in calls])
    return [
        DayNeeds(
            day=day.pk,
            place=day.cemetery.name,
            starts_at=day.starts_at.astimezone(day.cemetery.zone),
            ends_at=day.ends_at.astimezone(day.cemetery.zone),
            state=day.state,
            places=full[day.pk],
            fewest=day.fewest_people,
            call_by_at=day.call_by_at.astimezone(day.cemetery.zone),
            call_made=(day.pk, day.starts_at) in calls,
            organises=day.cemetery_id in organised,
            jobs=day.job_count,
            plan=plans.get(day.pk),
            minors=minors[day.pk],
            without_waiver=len(set(people[day.pk]) - signed[day.pk]),
            open_questions=questions[day.pk],
            held_until=_local(held.get(day.pk), day),
            told=notices.get(day.pk, (0, 0))[0],
            unseen=notices.get(day.pk, (0, 0))[1],
            verdict=weather.get(day.pk, ("", ""))[0],
            verdict_words=weather.get(day.pk, ("", ""))[1],
        )
        for day in days
    ]


def _weather(days: Collection[Workday]) -> dict[int, tuple[str, str]]:
    """Return the gravest verdict on the work meant for each day with its first reason.

    Days without a forecast are left out; without jobs every kind of work counts.
    """
    meant: dict[int, set[str]] = defaultdict(set)
    through = Workday.jobs.through.objects.filter(workday__in=days)
    for day_id, key in through.values_list("workday", "job__kind__key").distinct():
        meant[day_id].add(key)
    return {
        day_id: _gravest(found, sorted(meant[day_id] or found.verdicts))
        for day_id, found in outlooks(days).items()
    }


def _gravest(found: Outlook, kinds: Iterable[str]) -> tuple[str, str]:
    rows = [row for key in kinds for row in found.verdicts.get(key, ())]
    worst = gravest(row.verdict for row in rows)
    reasons = [reason for row in rows if row.verdict is worst for reason in row.reasons]
    return worst.value, reasons[0].sentence if reasons else "Nothing speaks against the work."


def _local(moment: datetime | None, day: Workday) -> datetime | None:
    return moment.astimezone(day.cemetery.zone) if moment else None


def jobs_by_kind(cemetery_ids: Collection[int]) -> dict[tuple[int, int], int]:
    """Return how many jobs are to do, by cemetery and kind of work."""
    rows = Job.objects.filter(cemetery__in=cemetery_ids, state=Job.State.OPEN).order_by()
    counts = rows.values_list("cemetery", "kind").annotate(n=Count("pk"))
    return {(cemetery, kind): n for cemetery, kind, n in counts}
