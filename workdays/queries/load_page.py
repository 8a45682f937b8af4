"""The load list of a day: what its jobs use, what must be there at once, what is mixed together."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from workdays.models import Job, KindOfWork, MixedMaterial, SignUp, Workday
from workdays.queries.batches import bucket_of, decilitres_of
from workdays.queries.brought import brought_by, stretches
from workdays.queries.crews import CrewView
from workdays.queries.days import local_date
from workdays.queries.ground import SettingRow
from workdays.queries.loads import Work, items_of
from workdays.queries.plan_page import PlanPage
from workdays.queries.readiness import readiness_of
from workdays.rules.amounts import liquid, water_weight
from workdays.rules.counting import heads, joined, some
from workdays.rules.loads import KEYS, Item, drinking, total_water
from workdays.rules.mixes import Mix, PlannedUse, mix_words, mixes, more_words, parts_words

MINUTE = timedelta(minutes=1)
MOST_READY = 40


@dataclass(frozen=True)
class KitRow:
    """One piece of equipment: how many are needed at once and by whom, how many there are."""

    name: str
    needed: int
    by: str
    there: int
    brought: int

    @property
    def lacking(self) -> int:
        """Return how many are lacking."""
        return max(0, self.needed - self.there - self.brought)


@dataclass(frozen=True)
class MaterialLoad:
    """One mixed material: a sentence for each mix, what to bring, what else could use the rest."""

    material: MixedMaterial
    sentences: list[str]
    bring: str


@dataclass(frozen=True)
class LoadPage:
    """Everything on a load list. ``rests_on``: the settings behind its figures."""

    heading: str
    planned: bool
    jobs: int
    items: list[Item]
    water: str
    kit: list[KitRow]
    materials: list[MaterialLoad]
    worn: list[str]
    kinds: list[KindOfWork]
    rests_on: list[SettingRow]

    @property
    def is_empty(self) -> bool:
        """Return whether there is nothing to load for work."""
        return not self.jobs


def load_page(
    day: Workday,
    page: PlanPage,
    work: Work,
    sign_ups: Sequence[SignUp],
    names: Mapping[str, str],
    *,
    hot: bool,
) -> LoadPage:
    """Return the load list; no statement, eight where a mixed material is used.

    ``hot``: the heat index may reach the moderate class, or nobody knows.
    """
    people = page.people or len(sign_ups)
    used = items_of(work.jobs, work)
    drunk = drinking(people, (day.ends_at - day.starts_at) // MINUTE, hot=hot)
    water = total_water(used)
    return LoadPage(
        heading=_heading(used, water, len(work.jobs)),
        planned=work.planned,
        jobs=len(work.jobs),
        items=[*used, *([drunk] if drunk else [])],
        water=f"{liquid(water)}, {water_weight(water)}" if water else "",
        kit=_kit(day, page.crews, sign_ups, names),
        materials=_materials(day, page.crews),
        worn=_worn(page.crews),
        kinds=work.kinds,
        rests_on=[work.settings[key] for key in KEYS] if used else [],
    )


def _heading(used: Sequence[Item], water: object, jobs: int) -> str:
    """Return the list in a sentence: "Load for 12 jobs: 62 US gallons (235 litres) of water"."""
    if not jobs:
        return "Nothing to load: no job is meant for this day"
    for_jobs = f"Load for {some(jobs, 'job')}"
    if not water:
        return for_jobs
    return f"{for_jobs}: {liquid(total_water(used))} of water"


def _kit(
    day: Workday,
    crews: Sequence[CrewView],
    sign_ups: Sequence[SignUp],
    names: Mapping[str, str],
) -> list[KitRow]:
    """Return what must be there at once: the fullest block for each piece of equipment."""
    held: dict[str, dict[int, list[tuple[str, int]]]] = {}
    for crew in crews:
        for key, amount in crew.equipment.items():
            if amount:
                held.setdefault(key, {}).setdefault(crew.block_number, []).append(
                    (crew.name, amount)
                )
    counted = brought_by(sign_ups, stretches(day.blocks.all())).counted
    rows = []
    for key, blocks in held.items():
        fullest = max(blocks.values(), key=lambda found: sum(amount for _, amount in found))
        rows.append(
            KitRow(
                name=names.get(key, key),
                needed=sum(amount for _, amount in fullest),
                by=joined([f"{crew}: {amount}" for crew, amount in fullest]),
                there=int(day.equipment.get(key, 0)),
                brought=int(counted.get(key, 0)),
            )
        )
    return sorted(rows, key=lambda row: row.name)


def _worn(crews: Sequence[CrewView]) -> list[str]:
    """Return what people wear, counted; gloves and eyes: National Park Service, safety."""
    everybody = {person.pk for crew in crews for person in crew.people}
    wet = {
        person.pk
        for crew in crews
        if any(kind.wets or kind.mixed_batch for kind in crew.kinds)
        for person in crew.people
    }
    said = [f"Gloves for {heads(len(everybody))}"] if everybody else []
    return [*said, *([f"eye protection for {heads(len(wet))}"] if wet else [])]


def _materials(day: Workday, crews: Sequence[CrewView]) -> list[MaterialLoad]:
    """Return the mixes of the plan by material, and ready jobs that could use what is left."""
    zone = day.cemetery.zone
    uses: dict[MixedMaterial, list[PlannedUse]] = {}
    for crew in crews:
        for job in crew.jobs:
            if job.job.material and job.job.material_litres:
                use = PlannedUse(
                    place=job.stone or job.section,
                    crew=crew.name,
                    starts_at=job.starts_at.astimezone(zone),
                    ends_at=job.ends_at.astimezone(zone),
                    decilitres=decilitres_of(job.job),
                )
                uses.setdefault(job.job.material, []).append(use)
    if not uses:
        return []
    ready = _ready(day, {job.pk for crew in crews for job in crew.jobs})
    return [
        _material(material, mixes(uses[material], bucket_of(material)), ready.get(material.pk, []))
        for material in sorted(uses, key=lambda one: one.order)
    ]


def _material(
    material: MixedMaterial, mixed: Sequence[Mix], ready: Sequence[tuple[str, int]]
) -> MaterialLoad:
    sentences = [
        " ".join(filter(None, [mix_words(mix, material.name), more_words(mix, ready)]))
        for mix in mixed
    ]
    return MaterialLoad(material, sentences, parts_words(mixed))


def _ready(day: Workday, planned: set[int]) -> dict[int, list[tuple[str, int]]]:
    """Return jobs that are ready but in no crew, by material: place and decilitres."""
    rows = day.cemetery.jobs.filter(state=Job.State.OPEN, material_litres__isnull=False)
    rows = rows.exclude(pk__in=planned).select_related("stone", "section", "kind")
    jobs = list(rows.order_by("-priority", "pk")[:MOST_READY])
    refusals = readiness_of(jobs, local_date(day), starts_at=day.starts_at, ends_at=day.ends_at)
    found: dict[int, list[tuple[str, int]]] = {}
    for job in jobs:
        if not refusals[job.pk] and job.material_id:
            found.setdefault(job.material_id, []).append((job.place, decilitres_of(job)))
    return found
