"""The times of a crew's jobs as they follow from its people: in order, as early as may be."""

from collections.abc import Sequence

from workdays.rules.facts import DayFacts, JobFacts, PlannedJob


def untimed(facts: DayFacts, job: str, block: int) -> PlannedJob:
    """A job that a crew of a block has yet to be given its time: it has not begun."""
    end = facts.blocks[block].end
    return PlannedJob(job, end, end)


def timed(
    facts: DayFacts, block: int, members: Sequence[str], jobs: Sequence[PlannedJob]
) -> tuple[PlannedJob, ...]:
    """The jobs in their order, each as early as may be for these people.

    In the middle of a day what has begun stays where it began, and nothing else begins earlier
    than now: with more or fewer people its end moves only.
    """
    arrivals = [facts.person[key].arrive for key in members]
    free = max([facts.blocks[block].start, facts.now or 0, *arrivals])
    found = []
    for task in jobs:
        lasts = facts.lasts(task.job, max(1, len(members)))
        start = task.start
        if facts.now is None or start >= facts.now:
            start = _earliest(facts.job[task.job], free, lasts)
        found.append(PlannedJob(task.job, start, start + lasts))
        free = max(free, start + lasts)
    return tuple(found)


def _earliest(job: JobFacts, free: int, lasts: int) -> int:
    starts = [max(free, w.start) for w in job.windows if max(free, w.start) + lasts <= w.end]
    return min(starts, default=free)
