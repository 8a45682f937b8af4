"""The noisy greedy: crews made anew from free people and jobs that nobody does."""

from workdays.planner.board import (
    BLOCK,
    LEADER,
    ROOM,
    SIZE,
    Board,
    does_skill,
)
from workdays.planner.chance import dice, one_of
from workdays.planner.compiled import compiled
from workdays.planner.draft import add, allows, may_begin, may_lie, ready
from workdays.planner.people import UNWELCOME, pick
from workdays.planner.tables import (
    ASK_FEWEST,
    ASK_MOST,
    CLASS,
    CREWS,
    FINE,
    FREE_ROW,
    GOAL,
    IDLE,
    LEAD,
    MASTER,
    NOBODY,
    PRIORITY,
    SECTION,
    SECTION_AWAY,
    SKILL,
    SUPERVISED,
    TRAINING,
    Tables,
)

FEW_JOBS = 90  # up to so many jobs each is looked at, beyond it those of a few sections
LOOKED_AT = 4  # sections looked at on a large day
LARGER = 0.35  # how often a crew gets one person more than a job needs


@compiled
def make_crew(t: Tables, s: Board, b: int, leader: int, noise: float) -> bool:
    """Make a crew in the free row around the job that looks best for a leader; False: none."""
    _choose_sections(t, s)
    _score_anchors(t, s, b, leader, noise)
    anchors = (_best(t, s), _best(t, s), _best(t, s))
    for j in anchors:
        if j < 0:
            break
        size = _size(t, s, b, j, noise)
        if size and pick(t, s, b, leader, t.job[j, CLASS], size):
            ready(t, s)
            if add(t, s, j):
                fill(t, s, j, noise)
                return True
    return False


@compiled
def _choose_sections(t: Tables, s: Board) -> None:
    """Put into `order` the sections that are looked at; on a small day all of them."""
    sections = len(t.inside) - 1
    for i in range(sections):
        s.order[i] = i
    s.order[sections] = NOBODY
    if len(t.job) - 1 <= FEW_JOBS or sections <= LOOKED_AT:
        return
    for i in range(LOOKED_AT):
        other = i + one_of(s, sections - i)
        s.order[i], s.order[other] = s.order[other], s.order[i]
    s.order[LOOKED_AT] = NOBODY


@compiled
def _score_anchors(t: Tables, s: Board, b: int, leader: int, noise: float) -> None:
    """How good each job looks that this leader may lead now."""
    for c in range(len(t.ask) - 1):
        s.allowed[c] = t.may[c, leader] & LEAD and _supervised(t, s, b, leader, c)
    for j in range(len(t.job) - 1):
        s.score[j] = UNWELCOME
    for n in range(len(t.inside)):
        if s.order[n] < 0:
            break
        for i in range(t.inside.shape[1]):
            j = t.inside[s.order[n], i]
            if j < 0:
                break
            if s.allowed[t.job[j, CLASS]] and may_begin(t, s, b, leader, j):
                s.score[j] = int(t.density[j] * (1 - noise * dice(s)))


@compiled
def _supervised(t: Tables, s: Board, b: int, leader: int, c: int) -> bool:
    """Whether somebody could supervise such work, should this person lead it."""
    if not t.ask[c, SUPERVISED] or t.may[c, leader] & MASTER:
        return True
    for i in range(s.crews[b]):
        other = s.crew[s.live[b, i], LEADER]
        if t.may[c, other] & MASTER and s.load[b, other, 0] < t.rule[CREWS]:
            return True
    return False


@compiled
def _best(t: Tables, s: Board) -> int:
    """The best looking job not looked at yet; -1: none."""
    best, found = UNWELCOME, NOBODY
    for j in range(len(t.job) - 1):
        if s.score[j] > best:
            best, found = s.score[j], j
    if found >= 0:
        s.score[found] = UNWELCOME
    return found


@compiled
def _size(t: Tables, s: Board, b: int, j: int, noise: float) -> int:
    """Mostly the fewest people with whom the job fits, now and then more; 0: none."""
    c = t.job[j, CLASS]
    room = max(0, _longest(t, b, j))
    size = t.ask[c, ASK_FEWEST]
    while size <= t.ask[c, ASK_MOST] and t.lasts[j, size] > room:
        size += 1
    if size > t.ask[c, ASK_MOST]:
        return 0
    while noise > 0 and size < t.ask[c, ASK_MOST] and dice(s) < LARGER:
        size += 1
    return size


@compiled
def _longest(t: Tables, b: int, j: int) -> int:
    found = -1
    for w in range(t.spans.shape[2]):
        found = max(found, t.spans[b, j, w, 1] - t.spans[b, j, w, 0])
    return found


@compiled
def fill(t: Tables, s: Board, near: int, noise: float) -> None:
    """Add jobs to the crew in the free row, the best looking first, until its time is used up.

    On a large day only those of the section of the job ``near``, and of one other.
    """
    d = t.rule[FREE_ROW]
    if s.crew[d, ROOM] <= 0:
        return
    wishes = _score_wishes(t, s, near, noise)
    while wishes > 0 and s.crew[d, ROOM] > 0:
        wishes -= 1
        j = _best(t, s)
        if j < 0:
            return
        add(t, s, j)


@compiled
def _score_wishes(t: Tables, s: Board, near: int, noise: float) -> int:
    """How good each job looks that this crew could do: points for its time, with noise."""
    for j in range(len(t.job) - 1):
        s.score[j] = UNWELCOME
    if len(t.job) - 1 <= FEW_JOBS:
        found = 0
        for section in range(len(t.inside) - 1):
            found += _score_section(t, s, section, noise)
        return found
    here = t.job[near, SECTION]
    other = one_of(s, len(t.inside) - 1)
    found = _score_section(t, s, here, noise)
    return found if other == here else found + _score_section(t, s, other, noise)


@compiled
def _score_section(t: Tables, s: Board, section: int, noise: float) -> int:
    d, found = t.rule[FREE_ROW], 0
    b, size = s.crew[d, BLOCK], s.crew[d, SIZE]
    away = 0 if s.jobs_in[d, section] else t.rule[SECTION_AWAY]
    for i in range(t.inside.shape[1]):
        j = t.inside[section, i]
        if j < 0:
            break
        lasts = t.lasts[j, size]
        if s.done[j] >= 0 or lasts > s.crew[d, ROOM] or not may_lie(t, b, j):
            continue
        c = t.job[j, CLASS]
        if not allows(t, s, c):
            continue
        worth = t.job[j, PRIORITY] + t.rule[IDLE] * size * lasts - away
        worth += lesson(t, s, t.ask[c, SKILL])
        s.score[j] = int(FINE * worth / max(lasts, 0.5) * (1 - noise * dice(s)))
        found += 1
    return found


@compiled
def lesson(t: Tables, s: Board, skill: int) -> int:
    """Return the points of teaching a skill that the crew in the free row does not do yet."""
    d, found = t.rule[FREE_ROW], 0
    if does_skill(t, s, d, skill):
        return 0
    for i in range(s.crew[d, SIZE]):
        found += t.who[s.people[d, i], GOAL] == skill
    return found * t.rule[TRAINING]
