"""The order of a crew's jobs, where only the walk from one stone to the next depends on it."""

from workdays.planner.board import BLOCK, JOBS, PLAIN, Board, walk
from workdays.planner.compiled import compiled
from workdays.planner.hours import waits_for
from workdays.planner.tables import FREE_ROW, HAS_FIRST, Tables


@compiled
def shorten(t: Tables, s: Board) -> None:
    """Turn stretches of the crew's jobs in the free row around while that makes the walk shorter.

    Jobs with hours of their own, or that wait for others, stay in the order they have.
    """
    d = t.rule[FREE_ROW]
    if not s.crew[d, PLAIN] or not _any_order(t, s):
        return
    better = True
    while better:
        better = False
        for i in range(s.crew[d, JOBS] - 1):
            for n in range(i + 1, s.crew[d, JOBS]):
                if _saved(t, s, i, n) > 0:
                    _turn_around(t, s, i, n)
                    better = True


@compiled
def _any_order(t: Tables, s: Board) -> bool:
    d = t.rule[FREE_ROW]
    for i in range(s.crew[d, JOBS]):
        j = s.jobs[d, i]
        if not t.open[s.crew[d, BLOCK], j] or t.job[j, HAS_FIRST] or waits_for(t, s, j):
            return False
    return True


@compiled
def _saved(t: Tables, s: Board, i: int, n: int) -> int:
    """Stretches of walk saved by turning the jobs from ``i`` to ``n`` around."""
    d, found = t.rule[FREE_ROW], 0
    first, last = s.jobs[d, i], s.jobs[d, n]
    if i > 0:
        before = s.jobs[d, i - 1]
        found += walk(t, before, first) - walk(t, before, last)
    if n + 1 < s.crew[d, JOBS]:
        after = s.jobs[d, n + 1]
        found += walk(t, last, after) - walk(t, first, after)
    return found


@compiled
def _turn_around(t: Tables, s: Board, i: int, n: int) -> None:
    d = t.rule[FREE_ROW]
    while i < n:
        s.jobs[d, i], s.jobs[d, n] = s.jobs[d, n], s.jobs[d, i]
        i += 1
        n -= 1
