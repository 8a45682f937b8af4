"""The jobs of a day as what they use: from rows to the facts of the load list."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from workdays.models import Job, KindOfWork, Workday
from workdays.queries.crews import in_their_order
from workdays.queries.ground import SettingRow, setting_rows
from workdays.queries.plan_page import PlanPage
from workdays.queries.stone_facts import kind_facts
from workdays.rules.loads import KEYS, Item, LoadJob, Rates, items, rates_of
from workdays.rules.stone_shape import StoneSize

CLAMP = "clamp"


@dataclass(frozen=True)
class Work:
    """The jobs that a day is loaded for, each once; ``planned``: they are those of crews.

    ``dug_only`` are jobs that dig a stone free which another job sets on a later day.
    """

    jobs: tuple[Job, ...]
    planned: bool
    settings: Mapping[str, SettingRow]
    dug_only: frozenset[int]

    @property
    def kinds(self) -> list[KindOfWork]:
        """Return the kinds of work of the jobs, in their order, each once."""
        return in_their_order(job.kind for job in self.jobs)

    @property
    def rates(self) -> Rates:
        """Return what the cemetery reckons with."""
        return rates_of({key: self.settings[key].value for key in KEYS})


def work_of(day: Workday, page: PlanPage) -> Work:
    """Return the jobs of the crews, or while there are none those meant for the day.

    At most three statements.
    """
    planned = {job.pk: job.job for crew in page.crews for job in crew.jobs}
    jobs = tuple(planned.values()) if planned else _meant(day)
    return Work(
        jobs=jobs,
        planned=bool(planned),
        settings={row.setting.key: row for row in setting_rows(day.cemetery)},
        dug_only=_dug_only(jobs),
    )


def _meant(day: Workday) -> tuple[Job, ...]:
    rows = day.jobs.filter(state=Job.State.OPEN)
    return tuple(rows.select_related("kind", "stone", "section", "material"))


def _dug_only(jobs: Sequence[Job]) -> frozenset[int]:
    """Return the jobs after which another open one digs at the same stone."""
    digging = {job.pk: job.stone_id for job in jobs if job.kind.digs and job.kind.lifts}
    if not digging:
        return frozenset()
    later = Job.prerequisites.through.objects.filter(
        to_job__in=list(digging),
        from_job__state=Job.State.OPEN,
        from_job__kind__digs=True,
        from_job__kind__lifts=True,
    )
    pairs = later.values_list("to_job", "from_job__stone")
    return frozenset(pk for pk, stone in pairs if stone == digging[pk])


def items_of(jobs: Iterable[Job], work: Work) -> list[Item]:
    """Return what some of the jobs use."""
    return items([_load_job(job, work) for job in jobs], work.rates)


def _load_job(job: Job, work: Work) -> LoadJob:
    stone = job.stone
    size = None
    if stone:
        size = StoneSize(
            stone.number,
            stone.type,
            stone.height_cm,
            stone.width_cm,
            stone.thickness_cm,
            stone.pieces,
        )
    return LoadJob(
        kind=kind_facts(job.kind),
        place=job.place,
        stone=size,
        clamped=bool(job.equipment.get(CLAMP)),
        mixed=job.material_litres is not None,
        sets=job.pk not in work.dug_only,
    )
