"""Which job waits for which: a chain may be long, but it may not bite its own tail."""

from collections.abc import Iterable, Mapping

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


def refusals_to_chain(
    job: int | None,
    prerequisites: Mapping[int, str],
    edges: Mapping[int, Iterable[int]],
) -> list[Refusal]:
    """Return why these prerequisites (id to name) cannot be asked for; empty: they can.

    ``job`` is None for one that does not exist yet: nothing can wait for it.
    """
    return [
        Refusal("circle", f"{name} waits for this job itself: the two would wait for each other.")
        for other, name in prerequisites.items()
        if job is not None and (other == job or job in waits_for(other, edges))
    ]
