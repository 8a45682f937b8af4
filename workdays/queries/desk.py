"""One day as its organiser sees it: who comes, who waits, what is missing."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count

from training.rules.standing import Level
from workdays.models import (
    CrewPlan,
    Job,
    KindOfWork,
    Notice,
    Permission,
    SignUp,
    Workday,
)
from workdays.queries import brought
from workdays.queries.brought import BroughtBy
from workdays.queries.by_hand import ByHand, placed_by_hand
from workdays.queries.day_people import (
    ListPart,
    PartNames,
    PersonRow,
    part_names,
    part_of,
    parts_of,
    people_of,
)
from workdays.queries.days import DayRow, day_rows, local_date
from workdays.queries.stone_weight import JobLift, job_lifts
from workdays.queries.terms import DayTerms, terms_of_day
from workdays.rules import desk as rules
from workdays.rules.brought import together
from workdays.rules.desk import DeskFacts, Gap, Work

State = SignUp.State


@dataclass(frozen=True)
class OpenNotice:
    """How many have not said that they saw a notice."""

    reason: str
    unseen: int
    told: int


@dataclass(frozen=True)
class Desk:
    """Everything the page of one day shows."""

    row: DayRow
    coming: list[PersonRow]
    unconfirmed: list[PersonRow]
    waiting: list[PersonRow]
    gaps: list[Gap]
    notices: list[OpenNotice]
    equipment: list[tuple[str, int]]
    brought: list[BroughtBy]
    jobs: int
    terms: list[str]
    published: CrewPlan | None
    draft: CrewPlan | None
    lifts: list[JobLift]
    by_hand: list[ByHand]
    names: PartNames

    @property
    def people(self) -> list[PersonRow]:
        """Return everybody of the list: who comes first, then who has not answered, who waits."""
        return [*self.coming, *self.unconfirmed, *self.waiting]

    @property
    def parts(self) -> list[ListPart]:
        """Return the parts of the list that hold anybody."""
        return parts_of(self.people, self.names)

    @property
    def anybody_unsigned(self) -> bool:
        """Return whether anybody of the list has not signed what holds on the day."""
        return any(not row.has_waiver for row in self.people)

    def part(self, show: str) -> list[PersonRow]:
        """Return one part of the list; all of it where none is named."""
        return part_of(self.people, show) if show else self.people


def _work(jobs: Iterable[Job], names: Mapping[str, str]) -> tuple[Work, ...]:
    by_kind: dict[KindOfWork, list[Job]] = {}
    for job in jobs:
        by_kind.setdefault(job.kind, []).append(job)
    return tuple(_work_of(kind, rows, names) for kind, rows in by_kind.items())


def _work_of(kind: KindOfWork, jobs: list[Job], names: Mapping[str, str]) -> Work:
    uses: dict[str, int] = {}
    for job in jobs:
        for key, count in job.equipment.items():
            name = names.get(key, key)
            uses[name] = max(uses.get(name, 0), int(count))
    return Work(
        kind=kind.name,
        jobs=len(jobs),
        skill=kind.skill.key if kind.skill else "",
        leader_level=Level(kind.leader_level),
        needs_supervisor=kind.needs_supervisor,
        uses=uses,
    )


def _rain_date_covered(day: Workday) -> bool:
    if day.rain_on is None:
        return True
    return Permission.objects.filter(
        cemetery=day.cemetery_id, starts_on__lte=day.rain_on, ends_on__gte=day.rain_on
    ).exists()


def _notices(day: Workday) -> list[OpenNotice]:
    rows = (
        Notice.objects.filter(day=day, person__erased_at__isnull=True)
        .order_by()
        .values_list("reason")
    )
    counts = rows.annotate(told=Count("pk"), seen=Count("seen_at"))
    return [OpenNotice(reason, told - seen, told) for reason, told, seen in counts if told > seen]


def _plans(day: Workday) -> tuple[CrewPlan | None, CrewPlan | None]:
    """Return the published plan, and the newest draft if it is newer."""
    plans = list(day.plans.exclude(state=CrewPlan.State.OLD).order_by("-made_at", "-pk"))
    published = next((p for p in plans if p.state == CrewPlan.State.PUBLISHED), None)
    draft = next((p for p in plans if p.state == CrewPlan.State.DRAFT), None)
    if published and draft and draft.made_at < published.made_at:
        draft = None
    return published, draft


def _lifts(day: Workday, jobs: list[Job]) -> list[JobLift]:
    """Return the lifts still to do that lack something beside the advice."""
    to_do = [job for job in jobs if job.state == Job.State.OPEN]
    return [lift for lift in job_lifts(to_do, on=local_date(day)).values() if lift.gaps]


def _facts(
    day: Workday,
    coming: list[PersonRow],
    jobs: list[Job],
    names: Mapping[str, str],
    terms: DayTerms,
    there: dict[str, int],
) -> DeskFacts:
    return DeskFacts(
        coming=len(coming),
        fewest=day.fewest_people,
        leads=sum(row.sign_up.person.may_lead for row in coming),
        levels=tuple(row.standing for row in coming),
        without_waiver=sum(not row.has_waiver for row in coming),
        open_questions=sum(row.sign_up.question_open for row in coming),
        work=_work(jobs, names),
        there={names.get(key, key): count for key, count in there.items()},
        rain_date_covered=_rain_date_covered(day),
        quiet=terms.clashes,
        minors=sum(row.is_minor for row in coming),
    )


def desk(day: Workday, *, now: datetime, sort: str = "name") -> Desk:
    """Return one day with its people in an order, its gaps, notices and plans."""
    names = part_names()
    people = people_of(day, names, sort)
    sign_ups = [row.sign_up for row in people]
    rows = day.jobs.select_related("kind__skill", "stone__conclusion", "section")
    jobs = list(rows.order_by("kind__order", "pk"))
    coming = [row for row in people if row.sign_up.state == State.COMING]
    published, draft = _plans(day)
    terms = terms_of_day(day)
    more = brought.brought_by(sign_ups, brought.stretches(day.blocks.all()))
    there = together(day.equipment, more.counted)
    return Desk(
        row=day_rows([day], now=now)[0],
        coming=coming,
        unconfirmed=[r for r in people if r.sign_up.state == State.UNCONFIRMED],
        waiting=[r for r in people if r.sign_up.state in (State.WAITING, State.OFFERED)],
        gaps=rules.gaps(_facts(day, coming, jobs, names.equipment, terms, there)),
        notices=_notices(day),
        equipment=[(names.equipment.get(key, key), count) for key, count in there.items()],
        brought=brought.lines_of(day, sign_ups),
        jobs=len(jobs),
        terms=terms.sentences,
        published=published,
        draft=draft,
        lifts=_lifts(day, jobs),
        by_hand=placed_by_hand(day),
        names=names,
    )
