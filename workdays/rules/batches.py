"""Which jobs of a day use up whole batches of a mixed material, so that none sets in the bucket.

One crew uses a batch, one job after the other, and mixes the next when the last is used up. The
most urgent job comes first; then, of all sets that still fit the bucket and the time in which it
can be worked, the one that leaves least over, and of those the one with the most urgent jobs. How
large a batch is and how long it stays workable is a row of the programme with its source.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from workdays.rules.counting import measured, some

DECILITRES = 10  # in a litre
MOST_WEIGHED = 24  # so many jobs at a time are weighed against each other, the most urgent first


@dataclass(frozen=True, slots=True)
class Bucket:
    """One batch of a material: how much is mixed at once, and how long it can be worked."""

    decilitres: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Use:
    """A job that is ready and uses the material; ``minutes``: with as many people as fit."""

    job: int
    priority: int
    decilitres: int
    minutes: int


@dataclass(frozen=True, slots=True)
class Filling:
    """Batches mixed one after another for some jobs, the most urgent first."""

    batches: int
    jobs: tuple[int, ...]
    decilitres: int
    left_over: int
    minutes: int

    def wastes_half(self, bucket: Bucket) -> bool:
        """Return whether more than half a batch would be thrown away."""
        return 2 * self.left_over > bucket.decilitres


State = tuple[int, int]  # minutes taken, and the jobs as bits: the most urgent is the highest


def fillings(uses: Iterable[Use], bucket: Bucket) -> list[Filling]:
    """Return every job in a batch, those first that hold the most urgent jobs.

    A job that is larger than a batch, or takes longer than one can be worked, gets several.
    """
    rest = sorted(uses, key=lambda use: (-use.priority, use.job))
    found = []
    while rest:
        filling = _fill(rest[0], rest[1:], bucket)
        found.append(filling)
        rest = [use for use in rest if use.job not in filling.jobs]
    return found


def _fill(first: Use, others: Sequence[Use], bucket: Bucket) -> Filling:
    batches = max(
        ceil(first.decilitres / bucket.decilitres), ceil(first.minutes / bucket.minutes), 1
    )
    whole = batches * bucket.decilitres
    room, minutes = whole - first.decilitres, batches * bucket.minutes - first.minutes
    chosen = [first]
    for start in range(0, len(others), MOST_WEIGHED):
        weighed = others[start : start + MOST_WEIGHED]
        best = _best(weighed, room, minutes)
        chosen += best
        room -= sum(use.decilitres for use in best)
        minutes -= sum(use.minutes for use in best)
        if len(best) < len(weighed):
            break
    used = sum(use.decilitres for use in chosen)
    return Filling(
        batches=batches,
        jobs=tuple(use.job for use in chosen),
        decilitres=used,
        left_over=whole - used,
        minutes=sum(use.minutes for use in chosen),
    )


def _best(others: Sequence[Use], room: int, minutes: int) -> list[Use]:
    """Return the set that fills the room best within the minutes, exactly.

    For each volume only those sets are kept that no other beats in both time and urgency.
    """
    states: dict[int, list[State]] = {0: [(0, 0)]}
    for place, use in enumerate(others):
        bit = 1 << (len(others) - 1 - place)
        for volume, kept in list(states.items()):
            grown = volume + use.decilitres
            if grown <= room:
                more = [(time + use.minutes, bits | bit) for time, bits in kept]
                fitting = [state for state in more if state[0] <= minutes]
                states[grown] = _unbeaten([*states.get(grown, ()), *fitting])
    best = max((volume, max(bits for _, bits in kept)) for volume, kept in states.items() if kept)
    return [use for place, use in enumerate(others) if best[1] >> (len(others) - 1 - place) & 1]


def _unbeaten(states: Iterable[State]) -> list[State]:
    kept: list[State] = []
    for state in sorted(states, key=lambda state: (state[0], -state[1])):
        if not kept or state[1] > kept[-1][1]:
            kept.append(state)
    return kept


def litres(decilitres: int) -> str:
    """Return decilitres as litres: 12, 0.5."""
    return f"{decilitres / DECILITRES:g}"


def _litres(decilitres: int) -> str:
    return measured(decilitres / DECILITRES, "litre")


def _batches(n: int) -> str:
    return "1 batch" if n == 1 else f"{n} batches"


def _is(*decilitres: int) -> str:
    return "is" if DECILITRES in decilitres else "are"


def filling_words(filling: Filling, bucket: Bucket) -> str:
    """Return how full the batches get, in a sentence or two."""
    whole = filling.batches * bucket.decilitres
    batches, size = _batches(filling.batches), _litres(whole)
    if not filling.left_over:
        return f"{batches} of {size}: nothing is left over."
    used, left = filling.decilitres, filling.left_over
    words = (
        f"{batches}: {litres(used)} of {size} {_is(used, whole)} used, "
        f"{litres(left)} {_is(left)} left over."
    )
    if not filling.wastes_half(bucket):
        return words
    return f"{words} More than half a batch would be thrown away: wait for more jobs."


def day_words_of(found: Sequence[Filling], bucket: Bucket) -> str:
    """Return what is worth mixing on a day, in one sentence."""
    if not found:
        return "No job that is ready uses it."
    worth = [filling for filling in found if not filling.wastes_half(bucket)]
    if not worth:
        wanted = sum(filling.decilitres for filling in found)
        return f"{_litres(wanted)} {_is(wanted)} wanted: not worth a batch yet."
    jobs = some(sum(len(filling.jobs) for filling in worth), "job")
    batches = _batches(sum(filling.batches for filling in worth))
    left = sum(filling.left_over for filling in worth)
    fill = "fills" if jobs == "1 job" else "fill"
    over = f"{_litres(left)} {_is(left)}" if left else "nothing is"
    return f"{jobs} {fill} {batches}, {over} left over."


def batches_heading(place: str, when: str, materials: Sequence[str]) -> str:
    """Return the heading of a day's batches; ``materials``: the sentence of each."""
    if len(materials) == 1:
        return f"{place}, {when}: {materials[0][:1].lower()}{materials[0][1:].rstrip('.')}"
    return f"{place}, {when}: batches of {len(materials)} mixed materials"
