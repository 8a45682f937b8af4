"""The crews of a plan as people read them: on a sheet, in a mail, on the own page."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Prefetch

from coordinator.models import Person
from workdays.models import Block, Crew, CrewJob, CrewPlan, Equipment, Job, KindOfWork, Placement
from workdays.queries.blocks import work_blocks
from workdays.queries.days import local_date
from workdays.queries.stone_weight import JobLift, job_lifts
from workdays.rules.brought import most_at_once
from workdays.rules.crew_naming import number_of
from workdays.rules.lift_cautions import Line


@dataclass(frozen=True)
class JobView:
    """One job of a crew, from and to, with what to know about lifting its stone."""

    job: Job
    starts_at: datetime
    ends_at: datetime
    lift: JobLift | None = None
    pinned: bool = False

    @property
    def pk(self) -> int:
        """The number of the job."""
        return self.job.pk

    @property
    def kind(self) -> KindOfWork:
        """The kind of work."""
        return self.job.kind

    @property
    def where(self) -> str:
        """The section and the stone, in words."""
        return self.job.where

    @property
    def section(self) -> str:
        """The name of the section."""
        return self.job.section.name

    @property
    def stone(self) -> str:
        """The number of the stone; empty for work in a section as a whole."""
        return self.job.stone.number if self.job.stone else ""

    @property
    def notes(self) -> str:
        """What is noted of the job."""
        return self.job.notes


@dataclass(frozen=True)
class CrewView:
    """A crew in one block, its lead first; ``pk`` 0: a crew of a plan that is not saved."""

    pk: int
    name: str
    block_number: int
    block: Block
    lead: Person
    supervisor: Person | None
    people: tuple[Person, ...]
    jobs: tuple[JobView, ...]
    pinned: frozenset[int] = frozenset()
    locked: bool = False

    @property
    def block_name(self) -> str:
        """What the block is called."""
        return self.block.name

    @property
    def starts_at(self) -> datetime:
        """When the block begins."""
        return self.block.starts_at

    @property
    def ends_at(self) -> datetime:
        """When the block ends."""
        return self.block.ends_at

    @property
    def kinds(self) -> list[KindOfWork]:
        """The kinds of work of the crew, in their order, each once."""
        return in_their_order(job.kind for job in self.jobs)

    @property
    def lifts(self) -> list[JobLift]:
        """The lifts of the crew."""
        return [job.lift for job in self.jobs if job.lift]

    @property
    def equipment(self) -> dict[str, int]:
        """What the crew holds for the block: the largest amount that one of its jobs needs."""
        return most_at_once(job.job.equipment for job in self.jobs)


def in_their_order(kinds: Iterable[KindOfWork]) -> list[KindOfWork]:
    """Return kinds of work in their order, each once."""
    return sorted({kind.pk: kind for kind in kinds}.values(), key=lambda kind: kind.order)


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
    return in_order(_crew(row, number[row.block_id], lifts) for row in rows)


def in_order(crews: Iterable[CrewView]) -> list[CrewView]:
    """Return crews by block and by their number."""
    return sorted(crews, key=lambda view: (view.starts_at, number_of(view.name)))


def lead_first(people: Iterable[Person], lead: Person) -> tuple[Person, ...]:
    """Return the people of a crew by name after the one who leads it."""
    return tuple(sorted(people, key=lambda person: (person != lead, person.name)))


def _crew(row: Crew, number: int, lifts: Mapping[int, JobLift]) -> CrewView:
    placements = list(row.placements.all())
    return CrewView(
        pk=row.pk,
        name=row.name,
        block_number=number,
        block=row.block,
        lead=row.lead,
        supervisor=row.supervisor,
        people=lead_first((placement.person for placement in placements), row.lead),
        jobs=tuple(
            JobView(one.job, one.starts_at, one.ends_at, lifts.get(one.job_id), one.pinned)
            for one in row.crew_jobs.all()
        ),
        pinned=frozenset(p.person_id for p in placements if p.pinned),
        locked=row.locked,
    )


def crews_with(plan: CrewPlan, person: Person) -> list[CrewView]:
    """Return the crews that a person is in, in the order of the day."""
    return [crew for crew in crews_of(plan) if person in crew.people]


def cautions(crews: Iterable[CrewView]) -> list[KindOfWork]:
    """Return the kinds of work of some crews, each once, for their cautions."""
    return in_their_order(kind for crew in crews for kind in crew.kinds)


def lifts_lacking(crews: Iterable[CrewView]) -> list[JobLift]:
    """Return the lifts of crews that lack something beside the advice, each job once."""
    found = {lift.job.pk: lift for crew in crews for lift in crew.lifts if lift.gaps}
    return list(found.values())


def lift_cautions(crews: Iterable[CrewView]) -> list[Line]:
    """Return the cautions of lifting, where a crew lifts."""
    lifts = [lift for crew in crews for lift in crew.lifts]
    return list(lifts[0].stone.advice.cautions) if lifts else []
