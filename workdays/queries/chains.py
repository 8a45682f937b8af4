"""What the chains ask for: facts of steps, stones and jobs for the rule, and what pages show."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime
from itertools import count

from django.db.models import Exists, OuterRef, Q
from django.db.models.query import QuerySet

from workdays.models import Cemetery, ChainStep, Job, Recording, Stone
from workdays.queries.ground import today_at
from workdays.queries.minutes import Learned, learned_at, size_of_stone
from workdays.queries.readings import losing_face
from workdays.queries.stone_facts import conclusion_facts, kind_facts
from workdays.rules.chain import (
    ChainNeed,
    JobFacts,
    NewJob,
    Proposal,
    StepFacts,
    StoneFacts,
    needs_of,
    proposal,
)
from workdays.rules.learning import Estimate

LOOK = "survey"
# What a chain and its pages read of a stone: thousands are gone through at once.
OF_STONES = (
    *("number", "type", "cemetery", "section__name", "section__order", "section__cemetery"),
    *("height_cm", "width_cm", "thickness_cm", "row", "position", "conclusion__kind"),
    *("conclusion__needs", "conclusion__look_again_on", "conclusion__reasons"),
    *("conclusion__made_at", "conclusion__survey__on"),
)
NEITHER_OPEN_NOR_DONE = Job.State.DROPPED


@dataclass(frozen=True)
class Planned:
    """A job that is not stored, with an id below zero, and the ids of what it comes after."""

    job: Job
    after: tuple[int, ...]


@dataclass(frozen=True)
class Chains:
    """Everything that proposals for the stones of one cemetery rest on; jobs grow as it goes."""

    cemetery: Cemetery
    on: date
    steps: dict[int, ChainStep]
    facts: list[StepFacts]
    losing: dict[int, str]
    of_stone: dict[int, list[JobFacts]] = field(default_factory=dict)
    of_section: dict[int, list[JobFacts]] = field(default_factory=dict)
    ids: Iterator[int] = field(default_factory=lambda: count(-1, -1))
    learned: Learned = field(default_factory=Learned)

    def needs(self, stone: Stone) -> list[ChainNeed]:
        """Return which chains a stone asks for, in the order in which they are begun."""
        return needs_of(_stone_facts(stone, self), on=self.on)

    def asked(self, stone: Stone) -> Proposal:
        """Return what a stone's chain asks for now; reads ``stone.conclusion`` and its survey."""
        jobs = [
            *self.of_stone.get(stone.pk, ()),
            *self.of_section.get(stone.section_id, ()),
        ]
        return proposal(_stone_facts(stone, self), self.facts, jobs, on=self.on)

    def plan(self, stone: Stone) -> list[Planned]:
        """Return the jobs to add for a stone, none before what it comes after; store nothing."""
        wanted = list(self.steps_to_add(stone))
        made: dict[int, Planned] = {}
        while wanted:
            new, pk = next(one for one in wanted if set(one[0].after_steps) <= set(made))
            wanted.remove((new, pk))
            earlier = (made[step].job.pk for step in new.after_steps)
            made[new.step] = Planned(self._job(stone, new, pk), (*earlier, *new.after_jobs))
        return list(made.values())

    def steps_to_add(self, stone: Stone) -> list[tuple[NewJob, int]]:
        """Return what to add for a stone, each with an id below zero.

        Later stones know of it, so that a section is raked once for all its stones.
        """
        found = [(new, next(self.ids)) for new in self.asked(stone).add]
        for new, pk in found:
            step = self.steps[new.step]
            if step.kind.on_section:
                self.of_section.setdefault(stone.section_id, []).append(_facts_of(step, pk))
        return found

    def _job(self, stone: Stone, new: NewJob, pk: int) -> Job:
        step = self.steps[new.step]
        takes = self.takes(step, stone)
        return Job(
            pk=pk,
            cemetery=self.cemetery,
            kind=step.kind,
            section=stone.section,
            stone=None if step.kind.on_section else stone,
            words=step.words,
            priority=new.priority,
            person_minutes=takes.minutes,
            learned_days=takes.days or None,
            fewest=step.fewest,
            most=step.most,
            lifters=step.lifters,
            equipment=step.equipment,
            wait_hours=step.wait_hours,
            after_winter=step.after_winter,
            season_first=step.season_first,
            season_last=step.season_last,
            earliest_on=new.earliest_on,
            material=step.material,
            material_litres=step.material_litres,
            step=step,
        )

    def takes(self, step: ChainStep, stone: Stone) -> Estimate:
        """Return the minutes that were learned, else those of the step; a section has no size."""
        size = size_of_stone(None if step.kind.on_section else stone)
        return self.learned.expected(self.learned.work(step.kind_id, step.pk), size)


def _facts_of(step: ChainStep, pk: int) -> JobFacts:
    """Return the facts of a job of a whole section that is to be added for a step."""
    return JobFacts(
        id=pk,
        kind=step.kind.key,
        step=step.pk,
        chain=step.template_id,
        on_section=True,
        is_look=step.kind.key == LOOK,
        after_winter=step.after_winter,
    )


def chains_for(stones: "QuerySet[Stone]", cemetery: Cemetery, *, now: datetime) -> Chains:
    """Return what proposals for some stones of a cemetery rest on; seven statements."""
    steps = {step.pk: step for step in steps_in_use()}
    unread = stones.filter(~Exists(Recording.objects.filter(stone=OuterRef("pk"))))
    jobs = _jobs(stones, cemetery)
    of_stone, of_section = defaultdict(list), defaultdict(list)
    for stone_id, section_id, facts in jobs:
        if stone_id:
            of_stone[stone_id].append(facts)
        else:
            of_section[section_id].append(facts)
    return Chains(
        cemetery=cemetery,
        on=today_at(cemetery, now=now),
        steps=steps,
        facts=[step_facts(step) for step in steps.values()],
        losing=losing_face(unread),
        of_stone=dict(of_stone),
        of_section=dict(of_section),
        learned=learned_at(cemetery),
    )


def steps_in_use() -> list[ChainStep]:
    """Return the steps of every chain in use, chain by chain in order."""
    steps = ChainStep.objects.filter(template__in_use=True)
    rows = steps.select_related("template", "kind", "material").prefetch_related("after")
    return list(rows.order_by("template__order", "template", "order", "pk"))


def step_facts(step: ChainStep) -> StepFacts:
    """Return a step as the rule knows it."""
    return StepFacts(
        id=step.pk,
        chain=step.template_id,
        need=ChainNeed(step.template.need),
        kind=kind_facts(step.kind),
        on_section=step.kind.on_section,
        is_look=step.kind.key == LOOK,
        after_winter=step.after_winter,
        after=frozenset(other.pk for other in step.after.all()),
    )


def with_chain(stones: "QuerySet[Stone]") -> "QuerySet[Stone]":
    """Return stones with what the rule reads of them, in the order of the ground."""
    rows = stones.select_related("section", "conclusion__survey").only(*OF_STONES)
    return rows.order_by("section__order", "section", "row", "position", "pk")


def _jobs(
    stones: "QuerySet[Stone]", cemetery: Cemetery
) -> Iterable[tuple[int | None, int, JobFacts]]:
    sections = stones.order_by().values("section")
    wanted = Q(stone__in=stones.order_by().values("pk"))
    wanted |= Q(stone__isnull=True, section__in=sections)
    rows = Job.objects.filter(wanted, cemetery=cemetery).exclude(state=NEITHER_OPEN_NOR_DONE)
    waits = Exists(Job.prerequisites.through.objects.filter(from_job=OuterRef("pk")))
    columns = rows.annotate(waits=waits).order_by("pk")
    for row in columns.values_list(
        *("pk", "kind__key", "state", "done_at", "step", "step__template"),
        *("stone", "section", "after_winter", "waits"),
        named=True,
    ):
        done_at = row.done_at.astimezone(cemetery.zone).date() if row.done_at else None
        yield (
            row.stone,
            row.section,
            JobFacts(
                id=row.pk,
                kind=row.kind__key,
                is_open=row.state == Job.State.OPEN,
                done_on=done_at,
                step=row.step,
                chain=row.step__template,
                on_section=row.stone is None,
                is_look=row.kind__key == LOOK,
                after_winter=row.after_winter,
                waits=row.waits,
            ),
        )


def _stone_facts(stone: Stone, chains: Chains) -> StoneFacts:
    row = stone.conclusion
    since = None
    if row is not None:
        said_on = row.made_at.astimezone(chains.cemetery.zone).date()
        since = row.survey.on if row.survey else said_on
    return StoneFacts(conclusion_facts(row), since, losing_face=stone.pk in chains.losing)
