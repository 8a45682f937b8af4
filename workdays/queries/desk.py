"""One day as its organiser sees it: who comes, who waits, what is missing."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, QuerySet

from training.models import Skill
from training.queries import standing_of
from training.rules.standing import Level
from workdays.models import (
    CrewPlan,
    Equipment,
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
from workdays.queries.days import DayRow, day_rows, local_date
from workdays.queries.stone_weight import JobLift, job_lifts
from workdays.queries.terms import DayTerms, terms_of_day
from workdays.queries.turnout import missed, waivers_in_words
from workdays.rules import desk as rules
from workdays.rules.brought import together
from workdays.rules.desk import DeskFacts, Gap, Work
from workdays.rules.turnout import HOLDS, Listed, is_within
from workdays.rules.wall_clock import hour

State = SignUp.State
PARTS = {
    "unsigned": "not signed",
    "minors": "minors",
    "waiting": "no place yet",
    "new": "new to everything",
    "missed": "missed a day before",
}
LIVE = (State.COMING, State.UNCONFIRMED, State.OFFERED, State.WAITING)


@dataclass(frozen=True)
class PersonRow:
    """One sign-up of a day, ready to be read."""

    sign_up: SignUp
    levels: str
    has_waiver: bool
    limits: str
    presence: str
    held_until: str
    waiver: str
    missed: str

    @property
    def listed(self) -> Listed:
        """Return what the list is looked through for."""
        return Listed(
            signed=self.has_waiver,
            minor=self.is_minor,
            waits=self.sign_up.state != State.COMING,
            new=self.levels == "new",
            missed=bool(self.missed),
            party=self.sign_up.party_id or 0,
        )

    @property
    def is_minor(self) -> bool:
        """Return whether a guardian must come along."""
        return not self.sign_up.person.is_adult

    @property
    def has_notes(self) -> bool:
        """Return whether there is something to know beside name, level and waiver."""
        row = self.sign_up
        said = (self.limits, self.presence, self.held_until, self.missed, row.words)
        return any(said) or row.question_open or self.is_minor or row.state == State.OFFERED


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

    @property
    def people(self) -> list[PersonRow]:
        """Return everybody of the list: who comes first, then who has not answered, who waits."""
        return [*self.coming, *self.unconfirmed, *self.waiting]

    @property
    def parts(self) -> list[tuple[str, str, int]]:
        """Return the parts of the list that hold anybody: key, words, how many."""
        parties = {row.sign_up.party_id: row.sign_up.party for row in self.people}
        named = PARTS | {f"party-{pk}": party.name for pk, party in parties.items() if party}
        counts = [(key, words, len(self.part(key))) for key, words in named.items()]
        return [one for one in counts if one[2]]

    @property
    def anybody_unsigned(self) -> bool:
        """Return whether anybody of the list has not signed what holds on the day."""
        return any(not row.has_waiver for row in self.people)

    def part(self, show: str) -> list[PersonRow]:
        """Return one part of the list."""
        return [row for row in self.people if is_within(row.listed, show)]


def sign_ups_of(day: Workday) -> "QuerySet[SignUp]":
    """Return the live sign-ups of a day in the order of names."""
    rows = SignUp.objects.filter(day=day, state__in=LIVE)
    return rows.select_related("person", "party__leader", "guardian", "wishes").order_by(
        "person__name", "pk"
    )


def _presence(sign_up: SignUp, day: Workday) -> str:
    zone = day.cemetery.zone
    parts = []
    if sign_up.comes_at and sign_up.comes_at != day.starts_at:
        parts.append(f"from {hour(sign_up.comes_at.astimezone(zone))}")
    if sign_up.leaves_at and sign_up.leaves_at != day.ends_at:
        parts.append(f"until {hour(sign_up.leaves_at.astimezone(zone))}")
    return " ".join(parts)


def _held_until(sign_up: SignUp, day: Workday) -> str:
    if sign_up.held_until is None:
        return ""
    until = sign_up.held_until.astimezone(day.cemetery.zone)
    return f"{until:%a} {until.day} {until:%b}, {hour(until)}"


def person_rows(
    day: Workday, sign_ups: Iterable[SignUp], levels: dict[int, dict[str, Level]]
) -> list[PersonRow]:
    """Return sign-ups with levels, waiver and limits as words."""
    rows = list(sign_ups)
    ids = [row.person_id for row in rows]
    waivers, absent = waivers_in_words(day, ids), missed(day, ids)
    names = dict(Skill.objects.values_list("key", "name"))
    return [
        PersonRow(
            sign_up=row,
            levels=rules.level_words(levels[row.person_id], names),
            has_waiver=waivers[row.person_id] in HOLDS,
            waiver=waivers[row.person_id],
            missed=absent.get(row.person_id, ""),
            limits=rules.limits(
                lift=row.cannot_lift, kneel=row.cannot_kneel, stand=row.cannot_stand_long
            ),
            presence=_presence(row, day),
            held_until=_held_until(row, day),
        )
        for row in rows
    ]


def _work(jobs: Iterable[Job], names: dict[str, str]) -> tuple[Work, ...]:
    by_kind: dict[KindOfWork, list[Job]] = {}
    for job in jobs:
        by_kind.setdefault(job.kind, []).append(job)
    return tuple(_work_of(kind, rows, names) for kind, rows in by_kind.items())


def _work_of(kind: KindOfWork, jobs: list[Job], names: dict[str, str]) -> Work:
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
    rows = Notice.objects.filter(day=day).order_by().values_list("reason")
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
    levels: dict[int, dict[str, Level]],
    jobs: list[Job],
    names: dict[str, str],
    terms: DayTerms,
    there: dict[str, int],
) -> DeskFacts:
    return DeskFacts(
        coming=len(coming),
        fewest=day.fewest_people,
        leads=sum(row.sign_up.person.may_lead for row in coming),
        levels=tuple(levels[row.sign_up.person_id] for row in coming),
        without_waiver=sum(not row.has_waiver for row in coming),
        open_questions=sum(row.sign_up.question_open for row in coming),
        work=_work(jobs, names),
        there={names.get(key, key): count for key, count in there.items()},
        rain_date_covered=_rain_date_covered(day),
        quiet=terms.clashes,
        minors=sum(row.is_minor for row in coming),
    )


def desk(day: Workday, *, now: datetime) -> Desk:
    """Return one day with its people, gaps, notices and plans."""
    sign_ups = list(sign_ups_of(day))
    levels = standing_of(
        [row.person_id for row in sign_ups], cemetery_number=day.cemetery_id, on=local_date(day)
    )
    people = person_rows(day, sign_ups, levels)
    rows = day.jobs.select_related("kind__skill", "stone__conclusion", "section")
    jobs = list(rows.order_by("kind__order", "pk"))
    names = dict(Equipment.objects.values_list("key", "name"))
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
        gaps=rules.gaps(_facts(day, coming, levels, jobs, names, terms, there)),
        notices=_notices(day),
        equipment=[(names.get(key, key), count) for key, count in there.items()],
        brought=brought.lines_of(day, sign_ups),
        jobs=len(jobs),
        terms=terms.sentences,
        published=published,
        draft=draft,
        lifts=_lifts(day, jobs),
        by_hand=placed_by_hand(day),
    )
