"""The crew being made, in the free row of the board: who is in it, which jobs it takes in turn."""

from workdays.planner.board import (
    BLOCK,
    GAIN,
    HI,
    JOBS,
    LEADER,
    LO,
    PLAIN,
    ROOM,
    SECTIONS,
    SIZE,
    SUPERVISOR,
    TRAINEES,
    Board,
    gain_of,
)
from workdays.planner.compiled import compiled
from workdays.planner.hours import fits, schedule
from workdays.planner.tables import (
    ARRIVE,
    ASK_FEWEST,
    ASK_MOST,
    BELOW,
    CLASS,
    COMPETENT,
    CREWS,
    FIT,
    FREE_ROW,
    HAS_FIRST,
    HAS_KIT,
    LEAD,
    LEAVE,
    LIFTERS,
    LIFTS,
    MASTER,
    NEW,
    NOBODY,
    PIN_BLOCK,
    PIN_LEADER,
    RATIO,
    SECTION,
    SUPERVISED,
    WALK,
    Tables,
)
from workdays.planner.tables import (
    TRAINEES as MOST_TRAINEES,
)
from workdays.planner.walks import shorten

UNKNOWN, NO, YES = 0, 1, 2


@compiled
def begin(t: Tables, s: Board, b: int, leader: int) -> None:
    """Begin a crew of one."""
    d = t.rule[FREE_ROW]
    for i in range(s.crew.shape[1]):
        s.crew[d, i] = 0
    s.crew[d, BLOCK], s.crew[d, LEADER], s.crew[d, SUPERVISOR] = b, leader, NOBODY
    s.crew[d, LO], s.crew[d, HI] = t.when[b, leader, ARRIVE], t.when[b, leader, LEAVE]
    s.crew[d, SIZE] = 1
    s.people[d, 0] = leader


@compiled
def join(t: Tables, s: Board, p: int) -> None:
    """Add a person; there is room for one."""
    d = t.rule[FREE_ROW]
    b = s.crew[d, BLOCK]
    s.people[d, s.crew[d, SIZE]] = p
    s.crew[d, SIZE] += 1
    s.crew[d, LO] = max(s.crew[d, LO], t.when[b, p, ARRIVE])
    s.crew[d, HI] = min(s.crew[d, HI], t.when[b, p, LEAVE])


@compiled
def ready(t: Tables, s: Board) -> None:
    """Make the crew ready for its first job; nobody joins any more."""
    d = t.rule[FREE_ROW]
    s.crew[d, JOBS], s.crew[d, PLAIN], s.crew[d, SECTIONS] = 0, 1, 0
    s.crew[d, SUPERVISOR] = NOBODY
    s.crew[d, ROOM] = s.crew[d, HI] - s.crew[d, LO]
    for k in range(s.kit.shape[1]):
        s.kit[d, k] = 0
    for section in range(s.jobs_in.shape[1]):
        s.jobs_in[d, section] = 0
    for c in range(len(s.allowed)):
        s.allowed[c] = UNKNOWN
    for i in range(s.crew[d, SIZE]):
        s.below[d, i] = 0


@compiled
def allows(t: Tables, s: Board, c: int) -> bool:
    """Return whether these people may do jobs of a class, hours and equipment aside."""
    if s.allowed[c] == UNKNOWN:
        s.allowed[c] = YES if may(t, s, c) else NO
    return s.allowed[c] == YES


@compiled
def may(t: Tables, s: Board, c: int) -> bool:
    """Return whether people in the free row may do jobs of a class, worked out anew."""
    d = t.rule[FREE_ROW]
    size = s.crew[d, SIZE]
    if not t.may[c, s.crew[d, LEADER]] & LEAD:
        return False
    if size < t.ask[c, ASK_FEWEST] or size > t.ask[c, ASK_MOST]:
        return False
    lifters = new = competent = 0
    for i in range(size):
        p = s.people[d, i]
        flags = t.may[c, p]
        if not flags & FIT:
            return False
        lifters += t.who[p, LIFTS]
        new += 1 if flags & NEW else 0
        competent += 1 if flags & COMPETENT else 0
    ratio = t.ask[c, RATIO]
    return lifters >= t.ask[c, LIFTERS] and (ratio < 0 or new <= ratio * competent)


@compiled
def add(t: Tables, s: Board, j: int) -> bool:
    """Add a job at the end, or where its hours allow; False: it does not fit."""
    d = t.rule[FREE_ROW]
    b, leader, lasts = s.crew[d, BLOCK], s.crew[d, LEADER], t.lasts[j, s.crew[d, SIZE]]
    if lasts > s.crew[d, ROOM] or s.done[j] >= 0 or s.crew[d, JOBS] >= s.jobs.shape[1]:
        return False
    if has(s, d, j) or not allows(t, s, t.job[j, CLASS]) or not _is_ours(t, b, leader, j):
        return False
    if t.job[j, HAS_KIT] and not has_kit(t, s, b, j):
        return False
    if t.job[j, HAS_FIRST] and not _is_ready(t, s, j):
        return False
    supervised = t.ask[t.job[j, CLASS], SUPERVISED]
    before = s.crew[d, SUPERVISOR]
    if supervised:
        s.crew[d, SUPERVISOR] = _supervisor_for(t, s, j)
        if s.crew[d, SUPERVISOR] < 0:
            s.crew[d, SUPERVISOR] = before
            return False
    if not _timed(t, s, j, lasts):
        s.crew[d, SUPERVISOR] = before
        return False
    _note(t, s, j, lasts)
    return True


@compiled
def has(s: Board, c: int, j: int) -> bool:
    """Return whether a crew has a job."""
    for i in range(s.crew[c, JOBS]):
        if s.jobs[c, i] == j:
            return True
    return False


@compiled
def _is_ours(t: Tables, b: int, leader: int, j: int) -> bool:
    """Whether pins and locks let a job be done by this crew."""
    if t.job[j, PIN_LEADER] < 0:
        return not t.closed[b, leader]
    return bool(t.job[j, PIN_LEADER] == leader and t.job[j, PIN_BLOCK] == b)


@compiled
def has_kit(t: Tables, s: Board, b: int, j: int) -> bool:
    """Return whether the equipment of a job is left in a block."""
    for k in range(t.need.shape[1]):
        if t.need[j, k] > s.left[b, k]:
            return False
    return True


@compiled
def may_lie(t: Tables, b: int, j: int) -> bool:
    """Return whether there are hours in a block in which a job may be done."""
    return bool(t.spans[b, j, 0, 0] <= t.spans[b, j, 0, 1])


@compiled
def may_begin(t: Tables, s: Board, b: int, leader: int, j: int) -> bool:
    """Return whether a job may be the first of a crew: nobody does it, and all is there for it."""
    if s.done[j] >= 0 or not may_lie(t, b, j) or not _is_ours(t, b, leader, j):
        return False
    if t.job[j, HAS_FIRST]:
        for i in range(t.first.shape[1]):
            first = t.first[j, i]
            if first == NOBODY:
                break
            if s.done[first] < 0 or s.crew[s.done[first], BLOCK] >= b:
                return False
    return not t.job[j, HAS_KIT] or has_kit(t, s, b, j)


@compiled
def _is_ready(t: Tables, s: Board, j: int) -> bool:
    """Whether what comes before a job is in this crew or in an earlier block."""
    d = t.rule[FREE_ROW]
    for i in range(t.first.shape[1]):
        first = t.first[j, i]
        if first == NOBODY:
            break
        other = s.done[first]
        if not has(s, d, first) and (other < 0 or s.crew[other, BLOCK] >= s.crew[d, BLOCK]):
            return False
    return True


@compiled
def _note(t: Tables, s: Board, j: int, lasts: int) -> None:
    """Count what a job takes."""
    d = t.rule[FREE_ROW]
    c, section = t.job[j, CLASS], t.job[j, SECTION]
    s.crew[d, ROOM] -= lasts
    s.crew[d, SECTIONS] += s.jobs_in[d, section] == 0
    s.jobs_in[d, section] += 1
    if t.job[j, HAS_KIT]:
        for k in range(t.need.shape[1]):
            s.kit[d, k] = max(s.kit[d, k], t.need[j, k])
    if t.ask[c, SUPERVISED]:
        for i in range(s.crew[d, SIZE]):
            if t.may[c, s.people[d, i]] & BELOW:
                s.below[d, i] = 1


@compiled
def _timed(t: Tables, s: Board, j: int, lasts: int) -> bool:
    """Put the job in where there is time for it; keeps `starts` where hours matter."""
    d = t.rule[FREE_ROW]
    jobs, now = s.crew[d, JOBS], s.crew[d, HI] - s.crew[d, ROOM]
    if s.crew[d, PLAIN] and fits(t, s, j, now, lasts):
        s.jobs[d, jobs] = j
        s.crew[d, JOBS] += 1
        return True
    spare = len(s.crew) - 1
    _copy_jobs(s, d, spare, jobs)
    s.jobs[d, jobs] = j
    s.crew[d, JOBS] += 1
    if schedule(t, s):
        s.crew[d, PLAIN] = 0
        return True
    s.crew[d, JOBS] = jobs
    _copy_jobs(s, spare, d, jobs)
    return False


@compiled
def _copy_jobs(s: Board, a: int, to: int, count: int) -> None:
    for i in range(count):
        s.jobs[to, i] = s.jobs[a, i]
        s.starts[to, i] = s.starts[a, i]


@compiled
def _supervisor_for(t: Tables, s: Board, j: int) -> int:
    """Who supervises the crew once a job is in; -1: nobody can."""
    d = t.rule[FREE_ROW]
    c, leader = t.job[j, CLASS], s.crew[d, LEADER]
    if s.crew[d, SUPERVISOR] >= 0:
        now = s.crew[d, SUPERVISOR]
        return now if _can(t, s, now, j) else NOBODY
    if t.may[c, leader] & MASTER:
        return leader if _can(t, s, leader, j) else NOBODY
    b = s.crew[d, BLOCK]
    for i in range(s.crews[b]):
        other = s.crew[s.live[b, i], LEADER]
        if _can(t, s, other, j):
            return other
    return NOBODY


@compiled
def _can(t: Tables, s: Board, supervisor: int, j: int) -> bool:
    """Whether somebody may supervise this crew with this job: level, numbers, nearness."""
    d = t.rule[FREE_ROW]
    b, c = s.crew[d, BLOCK], t.job[j, CLASS]
    if not t.may[c, supervisor] & MASTER or s.load[b, supervisor, 0] >= t.rule[CREWS]:
        return False
    trainees = 0
    for i in range(s.crew[d, SIZE]):
        trainees += s.below[d, i] or (t.may[c, s.people[d, i]] & BELOW) != 0
    if s.load[b, supervisor, 1] + trainees > t.rule[MOST_TRAINEES]:
        return False
    if supervisor == s.crew[d, LEADER]:
        return True
    own = b * t.old.shape[1] + supervisor
    return s.crew[own, SIZE] > 0 and s.jobs_in[own, t.job[j, SECTION]] > 0


@compiled
def finish(t: Tables, s: Board) -> None:
    """Work out starts, trainees and points of the crew."""
    d = t.rule[FREE_ROW]
    now, size = s.crew[d, LO], s.crew[d, SIZE]
    if t.rule[WALK]:
        shorten(t, s)
    if s.crew[d, PLAIN]:
        for i in range(s.crew[d, JOBS]):
            s.starts[d, i] = now
            now += t.lasts[s.jobs[d, i], size]
    s.crew[d, TRAINEES] = 0
    for i in range(size):
        s.crew[d, TRAINEES] += s.below[d, i]
    s.crew[d, GAIN] = gain_of(t, s, d)
