"""Whether the times and the material of a job, or of a step of a chain, fit each other."""

from dataclasses import dataclass

from workdays.rules.job_shape import LONGEST_MINUTES, MOST_PEOPLE, SHORTEST_MINUTES
from workdays.rules.refusals import Refusal

LONGEST_WAIT_HOURS = 17520  # two years
MOST_LITRES = 500
DAYS_OF_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


@dataclass(frozen=True, slots=True)
class Times:
    """When something may be done: after others or not, its wait, its season.

    The ends of a season are month times 100 plus day; None: the whole year.
    """

    after: bool
    wait_hours: int = 0
    after_winter: bool = False
    season_first: int | None = None
    season_last: int | None = None


@dataclass(frozen=True, slots=True)
class Mix:
    """What something uses of a mixed material; ``mixes``: its kind of work uses one at all."""

    mixes: bool
    has_material: bool = False
    litres: float | None = None


@dataclass(frozen=True, slots=True)
class StepShape:
    """The figures of one step. ``here``: it comes after steps of its own chain only."""

    times: Times
    mix: Mix
    here: bool
    lifts: bool
    minutes: tuple[int, ...]
    fewest: int
    most: int
    lifters: int


def refusals_to_times(times: Times) -> list[Refusal]:
    """Return what is wrong with when something may be done; empty: nothing."""
    refusals = []
    if not 0 <= times.wait_hours <= LONGEST_WAIT_HOURS:
        sentence = f"Give 0 to {LONGEST_WAIT_HOURS} hours: nothing waits longer than two years."
        refusals.append(Refusal("wait", sentence))
    if times.after_winter and not times.after:
        sentence = "Say what comes first: a winter is counted from the day that was done."
        refusals.append(Refusal("winter", sentence))
    ends = (times.season_first, times.season_last)
    if (ends[0] is None) != (ends[1] is None):
        refusals.append(Refusal("season", "Give both ends of the season, or neither."))
    if any(end is not None and not _is_day(end) for end in ends):
        refusals.append(Refusal("season", "Give a day of the year for each end of the season."))
    return refusals


def refusals_to_mix(mix: Mix) -> list[Refusal]:
    """Return what is wrong with the material that something uses; empty: nothing."""
    if mix.has_material != (mix.litres is not None):
        return [Refusal("litres", "Give both the material and how many litres, or neither.")]
    if mix.has_material and not mix.mixes:
        return [Refusal("material", "This kind of work uses no mixed material.")]
    if mix.litres is not None and not 0 < mix.litres <= MOST_LITRES:
        return [Refusal("litres", f"Give more than 0 and up to {MOST_LITRES} litres.")]
    return []


def refusals_to_step(step: StepShape) -> list[Refusal]:
    """Return what is wrong with a step of a chain; empty: nothing."""
    refusals = [*refusals_to_times(step.times), *refusals_to_mix(step.mix), *_people(step)]
    if not step.here:
        refusals.append(Refusal("elsewhere", "A step comes after steps of its own chain."))
    if step.times.wait_hours and not step.times.after:
        refusals.append(Refusal("after", "Say after which step these hours are counted."))
    if any(not SHORTEST_MINUTES <= minutes <= LONGEST_MINUTES for minutes in step.minutes):
        sentence = f"Give {SHORTEST_MINUTES} to {LONGEST_MINUTES} person-minutes for each size."
        refusals.append(Refusal("minutes", sentence))
    return refusals


def _people(step: StepShape) -> list[Refusal]:
    if not 2 <= step.fewest <= step.most <= MOST_PEOPLE:
        sentence = f"Give 2 to {MOST_PEOPLE} people, the most not below the fewest."
        return [Refusal("people", sentence)]
    if step.lifters > step.most:
        return [Refusal("lifters", "More lifters than people: raise the most people.")]
    if step.lifts and step.lifters < 1:
        return [Refusal("lifters", "This kind of work lifts: say how many must be able to.")]
    return []


def _is_day(end: int) -> bool:
    month, day = divmod(end, 100)
    return 1 <= month <= 12 and 1 <= day <= DAYS_OF_MONTH[month - 1]
