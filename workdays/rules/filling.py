"""Which ready jobs a day could hold: a suggestion by priority, for a person to change."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Candidate:
    """One ready job: what is left of it, and the ready jobs that must come before it."""

    job: int
    priority: int
    minutes: int
    after: frozenset[int] = frozenset()


def budget(*, people: int, work_minutes: int) -> int:
    """Return the person-minutes that a day holds when every place is taken."""
    return people * work_minutes


def fill(candidates: Iterable[Candidate], chosen: Iterable[int], *, minutes: int) -> list[int]:
    """Return the chosen jobs and what fits beside them, the most urgent first.

    A job brings along what must come before it, or stays out; a job that is too long is left
    for shorter ones that still fit.
    """
    by_id = {row.job: row for row in candidates}
    picked = {job: by_id[job] for job in chosen if job in by_id}
    left = minutes - sum(row.minutes for row in picked.values())
    for row in sorted(by_id.values(), key=lambda row: (-row.priority, row.job)):
        wanted = _with_what_comes_before(row, by_id, picked)
        cost = sum(by_id[job].minutes for job in wanted)
        if wanted and cost <= left:
            picked |= {job: by_id[job] for job in wanted}
            left -= cost
    return list(picked)


def _with_what_comes_before(
    row: Candidate, by_id: Mapping[int, Candidate], picked: Mapping[int, Candidate]
) -> Sequence[int]:
    """Return a job and what must come before it, not picked yet; empty if one is not ready."""
    wanted: list[int] = []
    waiting = [row.job]
    while waiting:
        job = waiting.pop()
        if job in picked or job in wanted:
            continue
        if job not in by_id:
            return ()
        wanted.append(job)
        waiting += sorted(by_id[job].after)
    return wanted
