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
from workdays.models import Cemetery, ChainStep, ChainTemplate, Job, Stone
from workdays.queries.chains import Chains, chains_for, minutes_of, with_chain
from workdays.rules.chain import NewJob
from workdays.rules.chain_step import Mix, StepShape, Times, refusals_to_step
from workdays.rules.prerequisites import circles, refusals_to_circles


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
    added: list[Job] = []
    served = 0
    for stone in with_chain(stones):
        made = _add_to(stone, chains, by)
        added += made
        served += bool(made)
    return Added(served, added)


def _add_to(stone: Stone, chains: Chains, by: Person) -> list[Job]:
    wanted = list(chains.asked(stone).add)
    made: dict[int, Job] = {}
    while wanted:
        new = next(one for one in wanted if set(one.after_steps) <= set(made))
        wanted.remove(new)
        made[new.step] = _job(stone, chains, new, by, [made[step].pk for step in new.after_steps])
        chains.learn(made[new.step])
    return list(made.values())


def _job(stone: Stone, chains: Chains, new: NewJob, by: Person, before: Sequence[int]) -> Job:
    step = chains.steps[new.step]
    values: dict[str, Any] = {
        "kind": step.kind,
        "section": stone.section,
        "stone": None if step.kind.on_section else stone,
        "words": step.words,
        "priority": new.priority,
        "person_minutes": minutes_of(step, stone),
        "fewest": step.fewest,
        "most": step.most,
        "lifters": step.lifters,
        "equipment": step.equipment,
        "wait_hours": step.wait_hours,
        "after_winter": step.after_winter,
        "season_first": step.season_first,
        "season_last": step.season_last,
        "earliest_on": new.earliest_on,
        "material": step.material,
        "material_litres": step.material_litres,
        "step": step,
    }
    job = Job.objects.create(cemetery=chains.cemetery, **values)
    prerequisites = [*before, *new.after_jobs]
    job.prerequisites.set(prerequisites)
    detail = written(job, values) | {"prerequisites": prerequisites}
    audit.record(audit.by_login(by), "added", job, detail)
    return job


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
        times=Times(
            after=bool(after),
            wait_hours=values["wait_hours"],
            after_winter=values["after_winter"],
            season_first=values["season_first"],
            season_last=values["season_last"],
        ),
        mix=Mix(
            mixes=values["kind"].mixed_batch,
            has_material=values["material"] is not None,
            litres=values["material_litres"],
        ),
        here=all(other.template_id == template.pk for other in after),
        lifts=values["kind"].lifts,
        minutes=tuple(values["minutes_by_size"].values()),
        fewest=values["fewest"],
        most=values["most"],
        lifters=values["lifters"],
    )
