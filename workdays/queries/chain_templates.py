"""The chains as rows: what a programme does about each need of a stone, step by step."""

from dataclasses import dataclass

from django.db.models import Count, Prefetch, Q

from workdays.models import ChainStep, ChainTemplate, Equipment, Job, MixedMaterial
from workdays.queries.step_words import material_words, times_of
from workdays.rules.chain_words import litres_words, people_words, waits_words
from workdays.rules.counting import measured, some
from workdays.rules.sizes import SIZES


@dataclass(frozen=True)
class StepRow:
    """One step of a chain, in words; ``to_do``: how many jobs made from it are open."""

    step: ChainStep
    waits: str
    minutes: str
    people: str
    uses: str
    to_do: int


@dataclass(frozen=True)
class TemplateRow:
    """One chain and its steps in order."""

    template: ChainTemplate
    steps: list[StepRow]


@dataclass(frozen=True)
class ChainTemplates:
    """Everything that the page of the chains shows."""

    heading: str
    rows: list[TemplateRow]
    materials: list[tuple[MixedMaterial, str]]


def chain_templates() -> ChainTemplates:
    """Return every chain with its steps; six statements."""
    names = dict(Equipment.objects.values_list("key", "name"))
    to_do = Count("jobs", filter=Q(jobs__state=Job.State.OPEN))
    steps = ChainStep.objects.annotate(to_do=to_do).select_related("kind", "material")
    ordered = steps.prefetch_related("after").order_by("order", "pk")
    chains = ChainTemplate.objects.prefetch_related(Prefetch("steps", ordered))
    rows = [
        TemplateRow(chain, [step_row(step, names) for step in chain.steps.all()])
        for chain in chains
    ]
    used = sum(row.template.in_use for row in rows)
    return ChainTemplates(
        heading=f"{some(used, 'chain')} {'says' if used == 1 else 'say'} which jobs a stone gets",
        rows=rows,
        materials=[(one, _size(one)) for one in MixedMaterial.objects.all()],
    )


def _size(material: MixedMaterial) -> str:
    hours = measured(material.workable_hours, "hour")
    return f"{litres_words(material.batch_litres)} in one batch, workable for {hours}."


def step_row(step: ChainStep, names: dict[str, str]) -> StepRow:
    """Return a step in words; ``names``: those of equipment by key."""
    before = [other.words for other in step.after.all()]
    sizes = [step.minutes_by_size.get(size) for size in SIZES]
    kit = [f"{count} {names.get(key, key)}" for key, count in step.equipment.items()]
    same = len(set(sizes)) == 1
    return StepRow(
        step=step,
        waits=waits_words(times_of(step, after=bool(before)), before),
        minutes=str(sizes[0]) if same else " / ".join(str(size) for size in sizes),
        people=people_words(step.fewest, step.most, step.lifters),
        uses=", ".join(filter(None, [material_words(step), *kit])),
        to_do=getattr(step, "to_do", 0),
    )
