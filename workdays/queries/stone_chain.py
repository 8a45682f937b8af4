"""The chain of one stone: what it needs, the jobs that do it, and when each may be done."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from workdays.models import Cemetery, ChainStep, ChainTemplate, Job, Stone, Workday
from workdays.queries.backlog import JobRow, job_rows
from workdays.queries.chains import Chains, Planned, chains_for
from workdays.queries.days import DayRow, day_rows, days_to_come
from workdays.queries.readiness import outlooks_if_added, outlooks_of
from workdays.queries.step_words import material_words, times_of
from workdays.queries.stone_facts import conclusion_facts
from workdays.rules.chain import ChainNeed, Proposal
from workdays.rules.chain_words import (
    Counts,
    people_words,
    stone_heading,
    waits_words,
    why_nothing,
)
from workdays.rules.outlook import Outlook
from workdays.rules.readiness import PrerequisiteFacts
from workdays.rules.refusals import sentences
from workdays.rules.triage import Mark, gravest
from workdays.rules.wall_clock import day_words

DAYS_OFFERED = 3


@dataclass(frozen=True)
class ChainLine:
    """One job of a chain, stored or as it would be added; ``mark`` is the class of its state."""

    job: Job
    is_new: bool
    state: str
    mark: str
    why_not: list[str]
    waits: str
    people: str
    material: str
    source: str

    @property
    def name(self) -> str:
        """Return what is done, in the words of the step, else of the kind of work."""
        return self.job.words or self.job.kind.name


@dataclass(frozen=True)
class ChainPart:
    """One chain that the stone asks for; ``left_out`` says which steps are not, and why."""

    template: ChainTemplate
    lines: list[ChainLine]
    left_out: list[tuple[str, str]]


@dataclass(frozen=True)
class StoneChain:
    """Everything that the page of a stone's chain shows."""

    heading: str
    mark: Mark
    why_nothing: str
    counts: Counts
    parts: list[ChainPart]
    others: list[JobRow]
    days: list[DayRow]


@dataclass(frozen=True)
class _Jobs:
    """The jobs of a chain by id, how each stands, and what each comes after."""

    rows: Mapping[int, Job]
    outlooks: Mapping[int, Outlook]
    before: Mapping[int, Sequence[str]]


def stone_chain(stone: Stone, *, now: datetime) -> StoneChain:
    """Return what a stone's chain asks for, what is there of it, and when each may be done."""
    found = chains_for(Stone.objects.filter(pk=stone.pk), stone.cemetery, now=now)
    needs, asked = found.needs(stone), found.asked(stone)
    planned = found.plan(stone)
    stored = _stored({pk for _, ids in asked.there for pk in ids})
    jobs = _judged(planned, stored, found.on)
    parts = _parts(found, needs, asked, planned, jobs)
    shown = {line.job.pk for part in parts for line in part.lines}
    open_jobs = stone.jobs.filter(state=Job.State.OPEN).exclude(pk__in=shown)
    concluded, counts = conclusion_facts(stone.conclusion), _counts(planned, stored)
    days = days_to_come(Cemetery.objects.filter(pk=stone.cemetery_id), now=now)
    choosing = days.filter(state__in=Workday.COMING)[:DAYS_OFFERED]
    return StoneChain(
        heading=stone_heading(stone.number, concluded, counts),
        mark=gravest(concluded, on=found.on),
        why_nothing=why_nothing(concluded, counts),
        counts=counts,
        parts=parts,
        others=job_rows(open_jobs, on=found.on),
        days=day_rows(choosing, now=now) if counts.to_do else [],
    )


def _stored(ids: Iterable[int]) -> dict[int, Job]:
    rows = Job.objects.filter(pk__in=ids).prefetch_related("prerequisites__kind")
    told = rows.select_related("kind", "cemetery", "section", "stone__conclusion")
    more = told.select_related("material", "step__template").order_by("pk")
    full = more.prefetch_related("prerequisites__stone", "prerequisites__section")
    return {job.pk: job for job in full}


def _counts(planned: Sequence[Planned], stored: Mapping[int, Job]) -> Counts:
    to_do = sum(job.state == Job.State.OPEN for job in stored.values())
    return Counts(new=len(planned), to_do=to_do, done=len(stored) - to_do)


def _judged(planned: Sequence[Planned], stored: Mapping[int, Job], on: date) -> _Jobs:
    rows = dict(stored) | {one.job.pk: one.job for one in planned}
    before = {one.job.pk: [_first(rows[pk]) for pk in one.after if pk in rows] for one in planned}
    outlooks = outlooks_of(stored.values(), on)
    outlooks |= outlooks_if_added([one.job for one in planned], before, on)
    names = {pk: [first.name for first in firsts] for pk, firsts in before.items()}
    names |= {pk: [_short(one) for one in job.prerequisites.all()] for pk, job in stored.items()}
    return _Jobs(rows, outlooks, names)


def _first(job: Job) -> PrerequisiteFacts:
    """Return a job as what comes before another; one that is not stored is not done."""
    done_at = job.done_at.astimezone(job.cemetery.zone) if job.done_at else None
    return PrerequisiteFacts(name=_short(job), done_at=done_at)


def _short(job: Job) -> str:
    words = job.words or job.kind.name
    return f"{words} ({job.section.name})" if job.stone_id is None else words


def _parts(
    chains: Chains,
    needs: Sequence[ChainNeed],
    asked: Proposal,
    planned: Sequence[Planned],
    jobs: _Jobs,
) -> list[ChainPart]:
    """Return the chains in the order in which they are begun; no job stands in two of them."""
    ids = dict(asked.there) | {one.job.step_id or 0: (one.job.pk,) for one in planned}
    left_out, shown = dict(asked.left_out), set[int]()
    found: dict[int, ChainPart] = {}
    steps = chains.steps.values()
    for step in (step for need in needs for step in steps if step.template.need == need):
        part = found.setdefault(step.template_id, ChainPart(step.template, [], []))
        for pk in ids.get(step.pk, ()):
            if pk not in shown and pk in jobs.rows:
                part.lines.append(_line(jobs.rows[pk], step, jobs, chains.on))
                shown.add(pk)
        if step.pk in left_out:
            part.left_out.append((step.words, left_out[step.pk]))
    return list(found.values())


def _line(job: Job, step: ChainStep, jobs: _Jobs, today: date) -> ChainLine:
    outlook = jobs.outlooks[job.pk]
    state, mark = _state(job, outlook, today)
    before = jobs.before[job.pk]
    return ChainLine(
        job=job,
        is_new=job.pk < 0,
        state=state,
        mark=mark,
        why_not=sentences(list(outlook.refusals)) if job.state == Job.State.OPEN else [],
        waits=waits_words(times_of(job, after=bool(before)), before),
        people=people_words(job.fewest, job.most, job.lifters),
        material=material_words(job),
        source=step.source or step.template.source,
    )


def _state(job: Job, outlook: Outlook, today: date) -> tuple[str, str]:
    """Return from when a job may be done, as far as known, and the mark that goes with it."""
    if job.state != Job.State.OPEN:
        return str(job.get_state_display()), "checked"
    if not outlook.refusals:
        return "ready now", "on"
    if outlook.ready_on:
        return f"from {day_words(outlook.ready_on, today=today)}", "watch"
    return "waits", "watch"
