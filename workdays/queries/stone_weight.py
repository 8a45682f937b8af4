"""What stones may weigh and how they may be lifted, from measures, surveys and settings."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from workdays.models import CemeterySetting, Job, Stone, Survey
from workdays.queries.stone_facts import conclusion_facts, kind_facts
from workdays.rules import weights
from workdays.rules.kinds import KindFacts
from workdays.rules.lifting import Advice, LiftFacts, advice, lift_gaps
from workdays.rules.settings import BY_KEY, Value
from workdays.rules.triage import may_touch
from workdays.rules.weight_words import HOLLOW, assumptions

KEYS = ("below_ground_fraction", "lift_limit_lb", "volunteer_resets")
A_LIFT = KindFacts(key="resetting", name="Resetting", touches=True, lifts=True)
NO_RESETS = "Volunteers lift no stones at this cemetery; it is a setting of the cemetery."
KEPT_TO_CM = 1.0


@dataclass(frozen=True)
class StoneLift:
    """A weight in words (empty: not known), on what it rests, and how to lift it."""

    words: str
    assumptions: list[str]
    advice: Advice
    caution: str = weights.CAUTION


@dataclass(frozen=True)
class JobLift:
    """How the stone of a job is lifted, and what the job lacks for it."""

    job: Job
    stone: StoneLift
    gaps: list[str]

    @property
    def short(self) -> str:
        """Return weight and advice in a few words."""
        return self.stone.advice.short


@dataclass(frozen=True)
class _Known:
    """Settings by cemetery, and the last look at each stone: depth sunk, height above ground."""

    settings: Mapping[int, Mapping[str, Value]]
    looks: Mapping[int, tuple[int | None, int | None]]


def lift_of(stone: Stone, *, on: date, look: Survey | None = None) -> StoneLift:
    """Return what one stone may weigh and how volunteers may lift it on a date.

    ``look`` is the last one at it; None: it is read.
    """
    if look is None:
        return _lift(stone, A_LIFT, _known([stone]), on)
    looks = {stone.pk: (look.depth_sunk_cm, look.height_above_cm)}
    return _lift(stone, A_LIFT, _Known(_settings([stone]), looks), on)


def job_lifts(jobs: Iterable[Job], *, on: date) -> dict[int, JobLift]:
    """Return how the stones of jobs that lift are lifted, by id of the job; two statements.

    Reads ``job.kind``, ``job.stone`` and its conclusion: fetch them with the jobs.
    """
    lifting = [(job, job.stone) for job in jobs if job.kind.lifts and job.stone]
    if not lifting:
        return {}
    known = _known([stone for _, stone in lifting])
    return {job.pk: _job_lift(job, stone, known, on) for job, stone in lifting}


def _job_lift(job: Job, stone: Stone, known: _Known, on: date) -> JobLift:
    found = _lift(stone, kind_facts(job.kind), known, on)
    gaps = lift_gaps(
        found.advice,
        lifters=job.lifters,
        fewest=job.fewest,
        equipment=frozenset(key for key, count in job.equipment.items() if count),
    )
    return JobLift(job, found, gaps)


def _settings(stones: list[Stone]) -> dict[int, dict[str, Value]]:
    places = {stone.cemetery_id for stone in stones}
    settings: dict[int, dict[str, Value]] = {
        pk: {key: BY_KEY[key].default for key in KEYS} for pk in places
    }
    for row in CemeterySetting.objects.filter(cemetery__in=places, key__in=KEYS):
        settings[row.cemetery_id][row.key] = row.value
    return settings


def _known(stones: list[Stone]) -> _Known:
    looks: dict[int, tuple[int | None, int | None]] = {}
    rows = Survey.objects.filter(stone__in={stone.pk for stone in stones}).order_by("-on", "-pk")
    for pk, sunk, above in rows.values_list("stone", "depth_sunk_cm", "height_above_cm"):
        looks.setdefault(pk, (sunk, above))
    return _Known(_settings(stones), looks)


def _lift(stone: Stone, kind: KindFacts, known: _Known, on: date) -> StoneLift:
    settings = known.settings[stone.cemetery_id]
    sunk, above = known.looks.get(stone.pk, (None, None))
    measures = _measures(stone, sunk, above)
    hidden = float(settings["below_ground_fraction"])
    found = weights.weight(measures, below_ground=hidden) if measures else None
    hollow = stone.material == Stone.Material.METAL
    said = [HOLLOW] if hollow else []
    if found and measures:
        said = assumptions(measures, below_ground=hidden, pieces=stone.pieces)
    facts = LiftFacts(
        weight=found,
        limit_lb=float(settings["lift_limit_lb"]),
        thickness_cm=float(stone.thickness_cm or 0),
        hollow=hollow,
        barred=tuple(_barred(stone, kind, settings, on)),
    )
    return StoneLift(found.words if found else "", said, advice(facts))


def _barred(
    stone: Stone, kind: KindFacts, settings: Mapping[str, Value], on: date
) -> Iterable[str]:
    if not kind.needs_conservator and settings["volunteer_resets"] is not True:
        yield NO_RESETS
    concluded = conclusion_facts(stone.conclusion)
    for refusal in may_touch(concluded, kind, led_by_conservator=True, on=on):
        yield refusal.sentence


def _measures(stone: Stone, sunk: int | None, above: int | None) -> weights.Measures | None:
    """Return what was measured; the height of the last look stands in for one not noted."""
    height, width, thickness = stone.height_cm or above, stone.width_cm, stone.thickness_cm
    if not (height and width and thickness):
        return None
    return weights.Measures(
        stone_type=stone.type,
        material=stone.material,
        height_cm=float(height),
        width_cm=float(width),
        thickness_cm=float(thickness),
        top_width_cm=stone.top_width_cm,
        base_height_cm=stone.base_height_cm,
        die_width_cm=stone.die_width_cm,
        sunk_cm=sunk,
        kept_to_cm=KEPT_TO_CM,
    )
