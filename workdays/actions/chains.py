"""Add the jobs that a stone's chain asks for; change the chains themselves."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models.query import QuerySet

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import change, written
from workdays.actions.step_values import mix_in, times_in
from workdays.models import Cemetery, ChainStep, ChainTemplate, Job, MixedMaterial, Stone
from workdays.queries.chains import Planned, chains_for, with_chain
from workdays.rules.chain_step import StepShape, refusals_to_step
from workdays.rules.prerequisites import circles, refusals_to_circles

ROWS_AT_ONCE = 200
# What a job takes from its step, its stone and the rule; told to the audit when it is added.
OF_A_STEP = (
    *("kind", "section", "stone", "words", "priority", "person_minutes", "fewest", "most"),
    *("lifters", "equipment", "wait_hours", "after_winter", "season_first", "season_last"),
    *("earliest_on", "material", "material_litres", "step", "learned_days"),
)


@dataclass(frozen=True)
class Added:
    """How many stones got jobs, and the jobs."""

    stones: int
    jobs: list[Job]


@transaction.atomic
def add_chain(stone: Stone, *, by: Person, now: datetime) -> list[Job]:
    """Add the jobs that a stone asks for and does not have yet; pressing twice adds nothing."""
    return _add(Stone.objects.filter(pk=stone.pk), stone.cemetery, by=by, now=now).jobs


@transaction.atomic
def add_chains(cemetery: Cemetery, *, by: Person, now: datetime) -> Added:
    """Add the missing jobs of every stone of a cemetery, raking once a section."""
    return _add(Stone.objects.filter(cemetery=cemetery), cemetery, by=by, now=now)


def _add(stones: QuerySet[Stone], cemetery: Cemetery, *, by: Person, now: datetime) -> Added:
    # One writer of a cemetery's chains at a time: two presses must not both add.
    cemetery = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
    chains = chains_for(stones, cemetery, now=now)
    of_stones = [chains.plan(stone) for stone in with_chain(stones)]
    jobs = _store([one for planned in of_stones for one in planned], by)
    return Added(sum(bool(planned) for planned in of_stones), jobs)


def _store(planned: Sequence[Planned], by: Person) -> list[Job]:
    """Store planned jobs, each with what it comes after, in few statements however many."""
    jobs = {one.job.pk: one.job for one in planned}
    for job in jobs.values():
        job.pk = None
    Job.objects.bulk_create(jobs.values(), batch_size=ROWS_AT_ONCE)
    before = {
        one.job.pk: [jobs[pk].pk if pk in jobs else pk for pk in one.after] for one in planned
    }
    link = Job.prerequisites.through
    links = [link(from_job_id=pk, to_job_id=other) for pk in before for other in before[pk]]
    link._default_manager.bulk_create(links, batch_size=ROWS_AT_ONCE)
    told = [(one.job, _detail(one.job) | {"prerequisites": before[one.job.pk]}) for one in planned]
    audit.record_many(audit.by_login(by), "added", told)
    return list(jobs.values())


def _detail(job: Job) -> dict[str, Any]:
    return written(job, {name: getattr(job, name) for name in OF_A_STEP})


@transaction.atomic
def change_template(template: ChainTemplate, values: Mapping[str, Any], *, by: Person) -> None:
    """Change what a chain is called, what it rests on, and whether it is in use."""
    row = ChainTemplate.objects.select_for_update().get(pk=template.pk)
    changed = change(row, values)
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


@transaction.atomic
def add_step(
    template: ChainTemplate, values: Mapping[str, Any], *, after: Sequence[ChainStep], by: Person
) -> ChainStep:
    """Add a step to a chain, as its last in order."""
    row = ChainTemplate.objects.select_for_update().get(pk=template.pk)
    _check_step(row, None, values, after)
    last = row.steps.order_by("-order").values_list("order", flat=True).first()
    step = ChainStep.objects.create(template=row, order=0 if last is None else last + 1, **values)
    step.after.set(after)
    detail = written(step, values) | {"after": [other.pk for other in after]}
    audit.record(audit.by_login(by), "added", step, detail)
    return step


@transaction.atomic
def change_step(
    step: ChainStep, values: Mapping[str, Any], *, after: Sequence[ChainStep], by: Person
) -> None:
    """Change a step; jobs that were made from it stay as they are."""
    template = ChainTemplate.objects.select_for_update().get(pk=step.template_id)
    row = ChainStep.objects.get(pk=step.pk)
    _check_step(template, row.pk, values, after)
    changed = change(row, values)
    before = sorted(row.after.values_list("pk", flat=True))
    wanted = sorted(other.pk for other in after)
    if before != wanted:
        row.after.set(after)
        changed["after"] = [before, wanted]
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


@transaction.atomic
def remove_step(step: ChainStep, *, by: Person) -> None:
    """Take a step out of its chain; what came after it comes after what came before it."""
    ChainTemplate.objects.select_for_update().get(pk=step.template_id)
    row = ChainStep.objects.get(pk=step.pk)
    earlier = list(row.after.all())
    for later in row.before.all():
        later.after.add(*earlier)
    audit.record(audit.by_login(by), "removed", row, {"template": row.template_id})
    row.delete()


@transaction.atomic
def change_material(material: MixedMaterial, values: Mapping[str, Any], *, by: Person) -> None:
    """Change how much of a material is mixed at once, and how long it can be worked."""
    row = MixedMaterial.objects.select_for_update().get(pk=material.pk)
    changed = change(row, values)
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


def _check_step(
    template: ChainTemplate,
    step_id: int | None,
    values: Mapping[str, Any],
    after: Sequence[ChainStep],
) -> None:
    names = dict(template.steps.values_list("pk", "words"))
    if step_id is not None:
        names[step_id] = str(values["words"])
    steps = template.steps.prefetch_related("after")
    edges = {step.pk: [other.pk for other in step.after.all()] for step in steps}
    found = circles(step_id, [other.pk for other in after], edges)
    refusals = [
        *refusals_to_step(_shape(template, values, after)),
        *refusals_to_circles(found, names),
    ]
    if refusals:
        raise Refused(refusals)


def _shape(
    template: ChainTemplate, values: Mapping[str, Any], after: Sequence[ChainStep]
) -> StepShape:
    return StepShape(
        times=times_in(values, after=bool(after)),
        mix=mix_in(values),
        here=all(other.template_id == template.pk for other in after),
        lifts=values["kind"].lifts,
        minutes=tuple(values["minutes_by_size"].values()),
        fewest=values["fewest"],
        most=values["most"],
        lifters=values["lifters"],
    )
