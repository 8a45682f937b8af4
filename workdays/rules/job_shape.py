"""Whether the figures of a job fit each other: where, how many people, how long."""

from dataclasses import dataclass

from workdays.rules.refusals import Refusal

MOST_PEOPLE = 12
LONGEST_MINUTES = 6000
SHORTEST_MINUTES = 5


@dataclass(frozen=True, slots=True)
class JobShape:
    """The figures of one job.

    ``here``: its section belongs to the cemetery. ``lifters``: people who must be able to lift.
    """

    needs_stone: bool
    has_stone: bool
    here: bool
    priority: int
    person_minutes: int
    fewest: int
    most: int
    lifters: int
    lifts: bool = False


def refusals_to_shape(job: JobShape) -> list[Refusal]:
    """Return what is wrong with a job as it is asked for; empty: nothing."""
    return [*_place(job), *_people(job), *_bounds(job)]


def _place(job: JobShape) -> list[Refusal]:
    if job.needs_stone and not job.has_stone:
        return [Refusal("no-stone", "This kind of work is done at a stone: say which.")]
    if not job.needs_stone and job.has_stone:
        return [Refusal("no-section", "This kind of work is for a whole section, not a stone.")]
    if not job.here:
        return [Refusal("elsewhere", "Say which section of this cemetery.")]
    return []


def _people(job: JobShape) -> list[Refusal]:
    if job.fewest < 2:
        return [Refusal("alone", "Nobody works alone: at least two people.")]
    if job.most < job.fewest:
        return [Refusal("most", "The most people cannot be fewer than the fewest.")]
    if job.most > MOST_PEOPLE:
        return [Refusal("crowd", f"At most {MOST_PEOPLE} people fit at one job.")]
    if job.lifters > job.most:
        return [Refusal("lifters", "More lifters than people: raise the most people.")]
    if job.lifts and job.lifters < 1:
        return [Refusal("no-lifters", "This kind of work lifts: say how many must be able to.")]
    return []


def _bounds(job: JobShape) -> list[Refusal]:
    refusals = []
    if not 1 <= job.priority <= 100:
        refusals.append(Refusal("priority", "Give a priority from 1 to 100."))
    if not SHORTEST_MINUTES <= job.person_minutes <= LONGEST_MINUTES:
        sentence = f"Give {SHORTEST_MINUTES} to {LONGEST_MINUTES} person-minutes."
        refusals.append(Refusal("minutes", sentence))
    return refusals


def refusals_when_closed(state_words: str, *, is_open: bool) -> list[Refusal]:
    """Return why a job that is done or dropped cannot be done again; empty: it is to do."""
    if is_open:
        return []
    return [Refusal("not-open", f"This job is {state_words}: it is not to be done.")]
