"""Who is expected on the ground, who is there, and what a day earned."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Prefetch

from coordinator.models import Person
from training.queries import standing_of
from training.rules.hours import PlannedPart, Stay, WorkBlock
from training.rules.standing import Level
from workdays.models import Block, Crew, CrewJob, CrewPlan, Job, RollEntry, SignUp, Workday
from workdays.queries.days import local_date
from workdays.queries.sign_ups import coming_by_name
from workdays.queries.so_far import counted, in_force
from workdays.queries.waivers import people_with_waiver


@dataclass(frozen=True)
class RollLine:
    """One person on the roll of a day; ``here`` while arrived and not left."""

    person: Person
    crew: str
    has_waiver: bool
    guardian: str
    arrived_at: datetime | None
    left_at: datetime | None

    @property
    def here(self) -> bool:
        """Whether the person is on the ground now."""
        return self.arrived_at is not None and self.left_at is None


def roll_lines(day: Workday) -> list[RollLine]:
    """Return everybody who is coming, by name, with their last stay."""
    sign_ups = list(coming_by_name(day).select_related("guardian"))
    last: dict[int, RollEntry] = {entry.person_id: entry for entry in day.roll.all()}
    crews = _crew_names(day)
    signed = people_with_waiver(day, [s.person_id for s in sign_ups])
    return [_line(s, last.get(s.person_id), crews, signed) for s in sign_ups]


def _line(
    sign_up: SignUp, stay: RollEntry | None, crews: dict[int, str], signed: frozenset[int]
) -> RollLine:
    return RollLine(
        person=sign_up.person,
        crew=crews.get(sign_up.person_id, ""),
        has_waiver=sign_up.person_id in signed,
        guardian=sign_up.guardian.name if sign_up.guardian else "",
        arrived_at=stay.arrived_at if stay else None,
        left_at=stay.left_at if stay else None,
    )


def _crew_names(day: Workday) -> dict[int, str]:
    crews = Crew.objects.filter(plan__day=day, plan__state=CrewPlan.State.PUBLISHED)
    rows = crews.order_by("-block__starts_at").values_list("placements__person_id", "name")
    return {person: name for person, name in rows if person is not None}


def planned_jobs(day: Workday) -> list[Job]:
    """Return the jobs that the day's plans held, still open, in order of section and stone."""
    rows = CrewJob.objects.filter(counted(in_force(day)))
    jobs = Job.objects.filter(pk__in=rows.values("job"), state=Job.State.OPEN)
    return list(jobs.select_related("kind", "stone", "section").order_by("section", "stone", "pk"))


@dataclass(frozen=True)
class PlannedTime:
    """What the published plan gave to one job: person-minutes, and how many people at most."""

    person_minutes: int
    people: int


def planned_times(day: Workday) -> dict[int, PlannedTime]:
    """Return what the day's plans gave to each job, by id; two statements."""
    found: dict[int, PlannedTime] = {}
    rows = CrewJob.objects.filter(counted(in_force(day)))
    for row in rows.annotate(people=Count("crew__placements")):
        before = found.get(row.job_id, PlannedTime(0, 0))
        minutes = int((row.ends_at - row.starts_at) / timedelta(minutes=1)) * row.people
        found[row.job_id] = PlannedTime(
            before.person_minutes + minutes, max(before.people, row.people)
        )
    return found


def stays(day: Workday) -> list[Stay]:
    """Return the roll as facts."""
    return [Stay(e.person_id, e.arrived_at, e.left_at) for e in day.roll.all()]


def blocks(day: Workday) -> list[WorkBlock]:
    """Return the stretches of work as facts."""
    rows = day.blocks.filter(kind=Block.Kind.WORK)
    return [WorkBlock(row.pk, row.starts_at, row.ends_at) for row in rows]


def learning_parts(day: Workday) -> list[PlannedPart]:
    """Return what each trainee was planned to do under somebody signed off in the skill.

    The supervisor of a crew counts, else its lead; only people below signed off earn hours.
    """
    plans = in_force(day)
    if not plans:
        return []
    worked = Prefetch(
        "crew_jobs", CrewJob.objects.filter(counted(plans)).select_related("job__kind__skill")
    )
    crews = list(
        Crew.objects.filter(plan__in=[one.plan for one in plans])
        .order_by("plan__published_at", "plan", "block__starts_at", "pk")
        .prefetch_related("placements", worked)
    )
    ids = {placement.person_id for crew in crews for placement in crew.placements.all()}
    ids |= {crew.supervisor_id for crew in crews if crew.supervisor_id}
    levels = standing_of(ids, cemetery_number=day.cemetery_id, on=local_date(day))
    return [part for crew in crews for part in _parts(crew, levels)]


def _parts(crew: Crew, levels: dict[int, dict[str, Level]]) -> Iterable[PlannedPart]:
    for skill, (length, stones) in _work(crew).items():
        guide = crew.supervisor_id or crew.lead_id
        if levels[guide][skill] < Level.SIGNED_OFF:
            continue
        for placement in crew.placements.all():
            if levels[placement.person_id][skill] < Level.SIGNED_OFF:
                yield PlannedPart(
                    person=placement.person_id,
                    block=crew.block_id,
                    skill=skill,
                    supervisor=guide,
                    minutes=int(length / timedelta(minutes=1)),
                    stones=len(stones),
                    placement=placement.pk,
                )


def _work(crew: Crew) -> dict[str, tuple[timedelta, set[int]]]:
    length: dict[str, timedelta] = defaultdict(timedelta)
    stones: dict[str, set[int]] = defaultdict(set)
    for planned in crew.crew_jobs.all():
        skill = planned.job.kind.skill
        if skill is not None:
            length[skill.key] += planned.ends_at - planned.starts_at
            if planned.job.stone_id:
                stones[skill.key].add(planned.job.stone_id)
    return {key: (length[key], stones[key]) for key in length}
