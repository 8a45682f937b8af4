"""How the work of one run is divided: searches from nothing, and joining what they have met."""

from typing import NamedTuple

# How far a joined plan is searched on: a hot search would lose it again.
AFTER_JOINING = (0.8, 1.3)


class Stage(NamedTuple):
    """A part of the work, up to a share of it; `join`: it goes on from what is joined first."""

    until: float
    join: bool = False


ONE_SEARCH: tuple[Stage, ...] = (Stage(1.0),)
# Counted in tries, joining takes none of the work; by the clock it takes most of its stage.
BY_TRIES: tuple[Stage, ...] = (
    Stage(0.42),
    Stage(0.5, join=True),
    Stage(0.92),
    Stage(1.0, join=True),
)
BY_CLOCK: tuple[Stage, ...] = (
    Stage(0.4),
    Stage(0.5, join=True),
    Stage(0.8),
    Stage(1.0, join=True),
)


class Place(NamedTuple):
    """Where a run is: its stage, the searches begun in it before, how far this one is cooled."""

    stage: int
    turn: int
    cooled: float


def place_of(stages: tuple[Stage, ...], times: list[int], done: float) -> Place:
    """Return where a run is once so much of it is done; ``times``: searches in each stage."""
    number = next((i for i, stage in enumerate(stages) if done < stage.until), len(stages) - 1)
    stage = stages[number]
    part = (done - stage.until + width(stages, number)) / width(stages, number)
    if stage.join:
        first, last = AFTER_JOINING
        return Place(number, 0, first + (last - first) * part)
    turn = min(int(part * times[number]), times[number] - 1)
    return Place(number, turn, part * times[number] - turn)


def width(stages: tuple[Stage, ...], number: int) -> float:
    """Return a stage's share of the whole work."""
    return stages[number].until - (stages[number - 1].until if number else 0.0)
