"""What a try of the search does, with a journal of it, so that any part can be undone.

An entry of the journal is (what, crew, row); the row keeps the crew as it was.
"""

from workdays.planner.board import (
    BLOCK,
    ENTRIES,
    FULL,
    JOBS,
    LEADER,
    ROWS,
    SIZE,
    SUPERVISOR,
    Board,
    copy_crew,
    put,
    take,
)
from workdays.planner.compiled import compiled
from workdays.planner.draft import finish
from workdays.planner.tables import FREE_ROW, NOBODY, PEOPLE, Tables

PUT, TOOK, TOOK_ALONG = range(3)


@compiled
def put_free(t: Tables, s: Board) -> None:
    """Put the crew in the free row in."""
    d, n = t.rule[FREE_ROW], s.step[ENTRIES]
    c = s.crew[d, BLOCK] * t.rule[PEOPLE] + s.crew[d, LEADER]
    if n >= len(s.journal):
        s.step[FULL] = 1
        return
    finish(t, s)
    copy_crew(s, d, c)
    put(t, s, c)
    s.journal[n, 0], s.journal[n, 1], s.journal[n, 2] = PUT, c, NOBODY
    s.step[ENTRIES] += 1


@compiled
def take_out(t: Tables, s: Board, c: int) -> int:
    """Take a crew out, and all that cannot stand without it; return the row that keeps it."""
    kept = t.rule[FREE_ROW] + 1 + s.step[ROWS]
    s.stack[0] = c
    waiting = 1
    while waiting:
        waiting -= 1
        one = s.stack[waiting]
        if s.crew[one, SIZE] and _log(t, s, one, TOOK if one == c else TOOK_ALONG):
            waiting = _stack_bound(t, s, one, waiting)
            take(t, s, one)
    return kept


@compiled
def _log(t: Tables, s: Board, c: int, what: int) -> bool:
    """Remember a crew that is to be taken out; False: the journal is full."""
    n, row = s.step[ENTRIES], t.rule[FREE_ROW] + 1 + s.step[ROWS]
    if n >= len(s.journal) or row >= len(s.crew) - 1:
        s.step[FULL] = 1
        return False
    copy_crew(s, c, row)
    s.journal[n, 0], s.journal[n, 1], s.journal[n, 2] = what, c, row
    s.step[ENTRIES] += 1
    s.step[ROWS] += 1
    return True


@compiled
def _stack_bound(t: Tables, s: Board, c: int, waiting: int) -> int:
    """Put on the stack the crews bound to one: supervised by its leader, or with later jobs."""
    b, leader = s.crew[c, BLOCK], s.crew[c, LEADER]
    for i in range(s.crews[b]):
        other = s.live[b, i]
        if other != c and s.crew[other, SUPERVISOR] == leader:
            waiting = _stack(s, other, waiting)
    for i in range(s.crew[c, JOBS]):
        for n in range(t.later.shape[1]):
            after = t.later[s.jobs[c, i], n]
            if after < 0:
                break
            if s.done[after] >= 0 and s.done[after] != c:
                waiting = _stack(s, s.done[after], waiting)
    return waiting


@compiled
def _stack(s: Board, c: int, waiting: int) -> int:
    """Put a crew on the stack, once."""
    for i in range(waiting):
        if s.stack[i] == c:
            return waiting
    s.stack[waiting] = c
    return waiting + 1


@compiled
def undo(t: Tables, s: Board, mark: int) -> None:
    """Go back to the state in which the journal had so many entries."""
    while s.step[ENTRIES] > mark:
        s.step[ENTRIES] -= 1
        n = s.step[ENTRIES]
        c = s.journal[n, 1]
        if s.journal[n, 0] == PUT:
            take(t, s, c)
        else:
            copy_crew(s, s.journal[n, 2], c)
            put(t, s, c)
            s.step[ROWS] -= 1


@compiled
def row_of(t: Tables, s: Board, c: int) -> int:
    """Return the row that keeps a crew which is to be out; takes it out if it is still in."""
    if s.crew[c, SIZE]:
        return take_out(t, s, c)
    for n in range(s.step[ENTRIES] - 1, -1, -1):
        if s.journal[n, 1] == c and s.journal[n, 0] != PUT:
            return s.journal[n, 2]
    return NOBODY
