"""What people bring along, and what of it a day may count on. Common practice, no source."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime

MOST_BROUGHT = 20
Amounts = Mapping[str, int]
Stretch = tuple[datetime, datetime]


@dataclass(frozen=True, slots=True)
class Bringer:
    """What somebody who comes brings; None for from and to: they are there the whole day."""

    brings: Amounts
    comes_at: datetime | None = None
    leaves_at: datetime | None = None


@dataclass(frozen=True, slots=True)
class Brought:
    """What people bring: what a day counts on, and what it does not, as it is not there for long.

    A plan hands equipment out for whole stretches of work, hence only what is there for all counts.
    """

    counted: Amounts = field(default_factory=dict)
    not_counted: Amounts = field(default_factory=dict)


def is_there_throughout(bringer: Bringer, work: Iterable[Stretch]) -> bool:
    """Return whether somebody is there for the whole of every stretch of work."""
    comes, leaves = bringer.comes_at, bringer.leaves_at
    return all(
        (comes is None or comes <= starts) and (leaves is None or leaves >= ends)
        for starts, ends in work
    )


def brought(bringers: Iterable[Bringer], work: Sequence[Stretch]) -> Brought:
    """Return what several people bring together."""
    counted: dict[str, int] = {}
    other: dict[str, int] = {}
    for bringer in bringers:
        into = counted if is_there_throughout(bringer, work) else other
        for key, amount in bringer.brings.items():
            into[key] = into.get(key, 0) + int(amount)
    return Brought(counted, other)


def together(own: Amounts, more: Amounts) -> dict[str, int]:
    """Return two amounts of each piece of equipment added, in the order of the first."""
    keys = [*own, *(key for key in more if key not in own)]
    return {key: int(own.get(key, 0)) + int(more.get(key, 0)) for key in keys}


def most_at_once(amounts: Iterable[Amounts]) -> dict[str, int]:
    """Return the most of each piece of equipment that one job, crew or day has of it."""
    most: dict[str, int] = {}
    for uses in amounts:
        for key, amount in uses.items():
            most[key] = max(most.get(key, 0), int(amount))
    return most


def missing(wanted: Amounts, there: Amounts) -> dict[str, int]:
    """Return how many of each are needed beyond what is there; nothing that suffices."""
    short = {key: amount - int(there.get(key, 0)) for key, amount in wanted.items()}
    return {key: amount for key, amount in short.items() if amount > 0}
