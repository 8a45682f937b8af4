"""Which job waits for which: a chain may be long, but it may not bite its own tail."""

from collections.abc import Iterable, Mapping
from itertools import pairwise

from workdays.rules.refusals import Refusal


def waits_for(job: int, edges: Mapping[int, Iterable[int]]) -> set[int]:
    """Return every job that must be done before this one; ``edges`` is job to prerequisites."""
    found: set[int] = set()
    todo = list(edges.get(job, ()))
    while todo:
        one = todo.pop()
        if one not in found:
            found.add(one)
            todo.extend(edges.get(one, ()))
    return found


def circles(
    job: int | None, prerequisites: Iterable[int], edges: Mapping[int, Iterable[int]]
) -> list[tuple[int, ...]]:
    """Return the circles that these prerequisites would close, each from the job back to itself.

    ``job`` is None for one that does not exist yet: nothing can wait for it.
    """
    if job is None:
        return []
    ways = (_way(other, job, edges) for other in prerequisites)
    return [(job, *way) for way in ways if way]


def refusals_to_circles(
    found: Iterable[tuple[int, ...]], names: Mapping[int, str]
) -> list[Refusal]:
    """Return one sentence a circle, with the names of all that would wait for each other."""
    return [Refusal("circle", _sentence([names[one] for one in circle])) for circle in found]


def _way(start: int, end: int, edges: Mapping[int, Iterable[int]]) -> tuple[int, ...]:
    """Return the shortest way from one job over what it waits for to another; empty: none."""
    ways: list[tuple[int, ...]] = [(start,)]
    seen = {start}
    for way in ways:
        if way[-1] == end:
            return way
        for other in sorted(set(edges.get(way[-1], ())) - seen):
            seen.add(other)
            ways.append((*way, other))
    return ()


def _sentence(names: list[str]) -> str:
    if len(names) == 2:
        return f"{names[0]} cannot wait for itself."
    steps = [f"{one} waits for {other}" for one, other in pairwise(names)]
    return f"{', '.join(steps[:-1])} and {steps[-1]}: they would wait for each other for ever."
