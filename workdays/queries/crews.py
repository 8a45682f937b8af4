"""The crews of a plan as people read them: on a sheet, in a mail, on the own page."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch

from coordinator.models import Person
from workdays.models import Crew, CrewJob, CrewPlan, Equipment, Job, KindOfWork, Placement
from workdays.queries.blocks import work_blocks
from workdays.queries.days import local_date
from workdays.queries.stone_weight import JobLift, job_lifts
from workdays.rules.lift_cautions import Line


@dataclass(frozen=True)
class JobView:
    """One job of a crew, from and to, with what to know about its stone."""

    pk: int
    job: Job
    kind: KindOfWork
    where: str
    section: str
    stone: str
    stone_type: str
    starts_at: datetime
    ends_at: datetime
    equipment: dict[str, int]
    notes: str
    lift: JobLift | None
    pinned: bool


@dataclass(frozen=True)
class CrewView:
    """A crew in one block."""

    pk: int
    name: str
    block_number: int
    block_name: str
    starts_at: datetime
    ends_at: datetime
    lead: Person
    supervisor: Person | None
    people: tuple[Person, ...]
    pinned: frozenset[int]
    locked: bool
    jobs: tuple[JobView, ...]

    @property
    def kinds(self) -> list[KindOfWork]:
        """The kinds of work of the crew, in their order, each once."""
        found = {job.kind.pk: job.kind for job in self.jobs}
        return sorted(found.values(), key=lambda kind: kind.order)

    @property
    def lifts(self) -> list[JobLift]:
        """The lifts of the crew."""
        return [job.lift for job in self.jobs if job.lift]

    @property
    def equipment(self) -> dict[str, int]:
        """What the crew holds for the block: the largest amount that one of its jobs needs."""
        most: dict[str, int] = {}
        for job in self.jobs:
            for key, amount in job.equipment.items():
                most[key] = max(most.get(key, 0), amount)
        return most


def equipment_names() -> dict[str, str]:
    """Return what each kind of equipment is called, by key."""
    return dict(Equipment.objects.values_list("key", "name"))


def equipment_words(amounts: Mapping[str, int], names: Mapping[str, str]) -> list[str]:
    """Return equipment as words: "2 x hand sprayer"."""
    return [f"{amount} x {names.get(key, key)}" for key, amount in sorted(amounts.items())]


def crews_of(plan: CrewPlan) -> list[CrewView]:
    """Return the crews of a plan by block and name; six statements whatever their number."""
    rows = list(
        plan.crews.select_related("block", "lead", "supervisor")
        .prefetch_related(
            Prefetch("placements", Placement.objects.select_related("person")),
            Prefetch(
                "crew_jobs",
                CrewJob.objects.select_related(
                    "job__kind", "job__stone__conclusion", "job__section", "job__material"
                ),
            ),
        )
        .order_by("block__starts_at", "pk")
    )
    number = {block.pk: place for place, block in enumerate(work_blocks(plan.day))}
    planned = [one.job for row in rows for one in row.crew_jobs.all()]
    lifts = job_lifts(planned, on=local_date(plan.day))
    views = [_crew(row, number[row.block_id], lifts) for row in rows]
    return sorted(views, key=lambda view: (view.starts_at, rank(view.name)))


def rank(name: str) -> tuple[int, str]:
    """Return what sorts crews by their number."""
    digits = "".join(letter for letter in name if letter.isdigit())
    return (int(digits or 0), name)


def _crew(row: Crew, number: int, lifts: Mapping[int, JobLift]) -> CrewView:
    placements = list(row.placements.all())
    people = sorted(
        (placement.person for placement in placements),
        key=lambda person: (person.pk != row.lead_id, person.name),
    )
    return CrewView(
        pk=row.pk,
        name=row.name,
        block_number=number,
        block_name=row.block.name,
        starts_at=row.block.starts_at,
        ends_at=row.block.ends_at,
        lead=row.lead,
        supervisor=row.supervisor,
        people=tuple(people),
        pinned=frozenset(p.person_id for p in placements if p.pinned),
        locked=row.locked,
        jobs=tuple(_job(planned, lifts) for planned in row.crew_jobs.all()),
    )


def _job(planned: CrewJob, lifts: Mapping[int, JobLift]) -> JobView:
    job, stone = planned.job, planned.job.stone
    where = f"{job.section.name}, {stone.number}" if stone else job.section.name
    return JobView(
        pk=job.pk,
        job=job,
        kind=job.kind,
        where=f"{where} ({job.words})" if job.words else where,
        section=job.section.name,
        stone=stone.number if stone else "",
        stone_type=stone.type if stone else "",
        starts_at=planned.starts_at,
        ends_at=planned.ends_at,
        equipment=job.equipment,
        notes=job.notes,
        lift=lifts.get(job.pk),
        pinned=planned.pinned,
    )


def crews_with(plan: CrewPlan, person: Person) -> list[CrewView]:
    """Return the crews that a person is in, in the order of the day."""
    return [crew for crew in crews_of(plan) if person in crew.people]


def cautions(crews: Iterable[CrewView]) -> list[KindOfWork]:
    """Return the kinds of work of some crews, each once, for their cautions."""
    found = {kind.pk: kind for crew in crews for kind in crew.kinds}
    return sorted(found.values(), key=lambda kind: kind.order)


def lifts_lacking(crews: Iterable[CrewView]) -> list[JobLift]:
    """Return the lifts of crews that lack something beside the advice, each job once."""
    found = {lift.job.pk: lift for crew in crews for lift in crew.lifts if lift.gaps}
    return list(found.values())


def lift_cautions(crews: Iterable[CrewView]) -> list[Line]:
    """Return the cautions of lifting, where a crew lifts."""
    lifts = [lift for crew in crews for lift in crew.lifts]
    return list(lifts[0].stone.advice.cautions) if lifts else []
