"""The jobs that could be meant for a day, by kind and section, and a suggestion."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from itertools import groupby

from workdays.models import Block, KindOfWork, Workday
from workdays.queries.backlog import JobRow, choosable, waiting_edges, with_lifts
from workdays.queries.days import local_date
from workdays.queries.stone_weight import JobLift
from workdays.rules.filling import Candidate, budget, fill


@dataclass(frozen=True)
class Group:
    """Jobs of one kind in one section, the most urgent first."""

    kind: KindOfWork
    section: str
    rows: list[JobRow]


@dataclass(frozen=True)
class Choice:
    """What the page of jobs shows. ``holds``: person-minutes of all places over the day's work."""

    ready: list[Group]
    waiting: list[JobRow]
    chosen: frozenset[int]
    minutes: int
    holds: int
    lifts: list[JobLift]

    @property
    def words(self) -> str:
        """Return how much is chosen and how much the day holds."""
        jobs = "1 job" if len(self.chosen) == 1 else f"{len(self.chosen)} jobs"
        return (
            f"{jobs} chosen, {_hours(self.minutes)} of work for one person; "
            f"with every place taken the day holds {_hours(self.holds)}."
        )


def _lifts(rows: Iterable[JobRow], chosen: Collection[int]) -> list[JobLift]:
    """Return the chosen lifts that lack something beside the advice."""
    found = (row.lift for row in rows if row.lift and row.job.pk in chosen)
    return [lift for lift in found if lift.gaps]


def _hours(minutes: int) -> str:
    hours, rest = divmod(minutes, 60)
    return f"{hours}:{rest:02d} hours"


def _minutes(row: JobRow) -> int:
    left = row.job.minutes_left
    return row.job.person_minutes if left is None else left


def _groups(rows: Iterable[JobRow]) -> list[Group]:
    ordered = sorted(
        rows,
        key=lambda row: (
            row.job.kind.order,
            row.job.section.order,
            row.job.section_id,
            -row.job.priority,
            row.job.pk,
        ),
    )
    parts = groupby(ordered, key=lambda row: (row.job.kind, row.job.section))
    return [Group(kind, section.name, list(part)) for (kind, section), part in parts]


def day_holds(day: Workday) -> int:
    """Return the person-minutes of all places over the blocks of work."""
    work = day.blocks.filter(kind=Block.Kind.WORK).values_list("starts_at", "ends_at")
    minutes = sum(int((end - start).total_seconds()) // 60 for start, end in work)
    return budget(people=day.capacity, work_minutes=minutes)


def _suggested(
    day: Workday, rows: list[JobRow], chosen: Collection[int], holds: int
) -> frozenset[int]:
    """Return what a day could hold; a prerequisite that is done already asks for nothing."""
    edges = waiting_edges(day.cemetery)
    still_open = {row.job.pk for row in rows}
    candidates = [
        Candidate(
            row.job.pk,
            row.job.priority,
            _minutes(row),
            frozenset(edges.get(row.job.pk, ())) & still_open,
        )
        for row in rows
        if row.ready
    ]
    return frozenset(fill(candidates, chosen, minutes=holds))


def choice(day: Workday, *, picked: Collection[int] | None = None, suggest: bool = False) -> Choice:
    """Return the jobs of the day's cemetery, those picked (None: stored) marked as chosen."""
    rows = choosable(day)
    ready = with_lifts((row for row in rows if row.ready), on=local_date(day))
    stored = set(day.jobs.values_list("pk", flat=True)) if picked is None else set(picked)
    chosen = frozenset(stored & {row.job.pk for row in ready})
    holds = day_holds(day)
    if suggest:
        chosen = _suggested(day, rows, chosen, holds)
    return Choice(
        ready=_groups(ready),
        waiting=[row for row in rows if not row.ready],
        chosen=chosen,
        minutes=sum(_minutes(row) for row in ready if row.job.pk in chosen),
        holds=holds,
        lifts=_lifts(ready, chosen),
    )
