"""When the jobs of the crew in the free row are done: hours, supervisors who come late, order."""

from workdays.planner.board import BLOCK, HI, JOBS, LEADER, LO, SIZE, SUPERVISOR, Board
from workdays.planner.compiled import compiled
from workdays.planner.tables import (
    ARRIVE,
    BEGUN_AT,
    CLASS,
    FREE_ROW,
    HAS_FIRST,
    LEAVE,
    NOBODY,
    SUPERVISED,
    Tables,
)


@compiled
def fits(t: Tables, s: Board, j: int, start: int, lasts: int) -> bool:
    """Return whether a job may start then."""
    d = t.rule[FREE_ROW]
    if t.open[s.crew[d, BLOCK], j] and not waits_for(t, s, j):
        return True
    return earliest(t, s, j, start, lasts) == start


@compiled
def waits_for(t: Tables, s: Board, j: int) -> bool:
    """Return whether a job is begun, or supervised from another crew: then its hours matter."""
    d = t.rule[FREE_ROW]
    supervisor = s.crew[d, SUPERVISOR]
    if t.job[j, BEGUN_AT] >= 0:
        return True
    if not t.ask[t.job[j, CLASS], SUPERVISED] or supervisor == NOBODY:
        return False
    return bool(supervisor != s.crew[d, LEADER])


@compiled
def earliest(t: Tables, s: Board, j: int, now: int, lasts: int) -> int:
    """Return the first moment from ``now`` at which a job may lie; -1: there is none."""
    d = t.rule[FREE_ROW]
    b, lo, hi = s.crew[d, BLOCK], now, s.crew[d, HI]
    if waits_for(t, s, j):
        if t.job[j, BEGUN_AT] >= 0:
            begun = t.job[j, BEGUN_AT]
            return begun if begun >= now and begun + lasts <= hi else -1
        lo = max(lo, t.when[b, s.crew[d, SUPERVISOR], ARRIVE])
        hi = min(hi, t.when[b, s.crew[d, SUPERVISOR], LEAVE])
    for w in range(t.spans.shape[2]):
        start = max(lo, t.spans[b, j, w, 0])
        if start + lasts <= min(hi, t.spans[b, j, w, 1]):
            return start
    return -1


@compiled
def deadline(t: Tables, s: Board, j: int, lasts: int) -> int:
    """Return the last moment at which a job may end, in this block."""
    d = t.rule[FREE_ROW]
    if t.job[j, BEGUN_AT] >= 0:
        return t.job[j, BEGUN_AT] + lasts
    found = 0
    for w in range(t.spans.shape[2]):
        found = max(found, t.spans[s.crew[d, BLOCK], j, w, 1])
    if waits_for(t, s, j):
        found = min(found, t.when[s.crew[d, BLOCK], s.crew[d, SUPERVISOR], LEAVE])
    return found


@compiled
def schedule(t: Tables, s: Board) -> bool:
    """Order the jobs by deadline and give them starts; False: they do not fit that way."""
    d = t.rule[FREE_ROW]
    size, jobs = s.crew[d, SIZE], s.crew[d, JOBS]
    _sort(t, s, d)
    now = s.crew[d, LO]
    for i in range(jobs):
        j = s.jobs[d, i]
        if t.job[j, HAS_FIRST] and _has_later(t, s, d, i):
            return False
        start = earliest(t, s, j, now, t.lasts[j, size])
        if start < 0:
            return False
        s.starts[d, i] = start
        now = start + t.lasts[j, size]
    return True


@compiled
def _sort(t: Tables, s: Board, d: int) -> None:
    """Sort the jobs by deadline, then by their first moment (insertion: they are few)."""
    size = s.crew[d, SIZE]
    for i in range(1, s.crew[d, JOBS]):
        j = s.jobs[d, i]
        key = deadline(t, s, j, t.lasts[j, size])
        n = i
        while n > 0:
            other = s.jobs[d, n - 1]
            before = deadline(t, s, other, t.lasts[other, size])
            if before < key or (before == key and not _opens_before(t, s, j, other)):
                break
            s.jobs[d, n] = other
            n -= 1
        s.jobs[d, n] = j


@compiled
def _opens_before(t: Tables, s: Board, j: int, other: int) -> bool:
    b = s.crew[t.rule[FREE_ROW], BLOCK]
    return t.spans[b, j, 0, 0] < t.spans[b, other, 0, 0] or _comes_first(t, j, other)


@compiled
def _comes_first(t: Tables, j: int, other: int) -> bool:
    for i in range(t.first.shape[1]):
        if t.first[other, i] == j:
            return True
    return False


@compiled
def _has_later(t: Tables, s: Board, d: int, i: int) -> bool:
    """Whether something that comes before a job of the crew is put at or after it."""
    j = s.jobs[d, i]
    for n in range(i, s.crew[d, JOBS]):
        if _comes_first(t, s.jobs[d, n], j):
            return True
    return False
