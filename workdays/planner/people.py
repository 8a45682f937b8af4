"""Choosing the people of a crew: leader's party and old crew first, with noise."""

from workdays.planner.board import BLOCK, HI, LEADER, LO, SIZE, Board, is_in
from workdays.planner.chance import dice
from workdays.planner.compiled import compiled
from workdays.planner.draft import begin, join
from workdays.planner.tables import (
    ARRIVE,
    ASK_FEWEST,
    ASK_MOST,
    BLOCKS,
    CHANGE,
    COMPETENT,
    FINE,
    FIT,
    FOLLOW,
    FREE_ROW,
    GOAL,
    GUARDIAN,
    LEADS,
    LEAVE,
    LIFTERS,
    LIFTS,
    MOST,
    NEW,
    NOBODY,
    PARTY,
    PEOPLE,
    RATIO,
    SKILL,
    SPLIT,
    THERE,
    TRAINING,
    Tables,
)

UNWELCOME = -(1 << 50)
SPREAD = 14.0  # points of noise in the order of people


@compiled
def pick(t: Tables, s: Board, b: int, leader: int, c: int, size: int) -> bool:
    """Fill the free row with a crew for jobs of a class; False: it cannot be had."""
    begin(t, s, b, leader)
    if not _bring_kids(t, s, leader, c):
        return False
    _score(t, s, b, leader, c)
    _pick_lifters(t, s, c)
    d = t.rule[FREE_ROW]
    while s.crew[d, SIZE] < size:
        p = _next(t, s, False)
        if p < 0:
            break
        _try(t, s, p, c)
    size = s.crew[d, SIZE]
    if size < t.ask[c, ASK_FEWEST] or size > t.ask[c, ASK_MOST]:
        return False
    return lifters(t, s) >= t.ask[c, LIFTERS] and may_be_crew(t, s)


@compiled
def lifters(t: Tables, s: Board) -> int:
    """Return how many of the crew can lift."""
    d, found = t.rule[FREE_ROW], 0
    for i in range(s.crew[d, SIZE]):
        found += t.who[s.people[d, i], LIFTS]
    return found


@compiled
def is_free(t: Tables, s: Board, p: int, c: int) -> bool:
    """Return whether a person is free for the crew in the free row and its class of jobs."""
    d = t.rule[FREE_ROW]
    b, leader = s.crew[d, BLOCK], s.crew[d, LEADER]
    if s.at[b, p] >= 0 or not t.when[b, p, THERE] or t.bond[b, leader, p] < 0:
        return False
    return bool(t.may[c, p] & FIT)


@compiled
def _score(t: Tables, s: Board, b: int, leader: int, c: int) -> None:
    """How welcome each free person is."""
    for p in range(t.rule[PEOPLE]):
        s.score[p] = UNWELCOME
        if p != leader and is_free(t, s, p, c):
            s.score[p] = int(FINE * _welcome(t, s, b, leader, c, p))


@compiled
def _welcome(t: Tables, s: Board, b: int, leader: int, c: int, p: int) -> float:
    found = SPREAD * dice(s) + t.bond[b, leader, p]
    if t.who[p, PARTY] >= 0 and t.who[p, PARTY] == t.who[leader, PARTY]:
        found += t.rule[SPLIT]
    if t.who[p, GOAL] == t.ask[c, SKILL]:
        found += t.rule[TRAINING]
    if t.when[b, p, LEADS]:
        found -= 4
    for other in (b - 1, b + 1):
        if 0 <= other < t.rule[BLOCKS] and s.at[other, p] >= 0:
            found += t.rule[CHANGE] * (1 if s.at[other, p] == leader else -1)
    d = t.rule[FREE_ROW]
    late = max(0, t.when[b, p, ARRIVE] - s.crew[d, LO])
    return found - 2 * (late + max(0, s.crew[d, HI] - t.when[b, p, LEAVE]))


@compiled
def _next(t: Tables, s: Board, lifting: bool) -> int:
    """The most welcome person not tried yet (who can lift, if that is asked); -1: nobody."""
    best, found = UNWELCOME, NOBODY
    for p in range(t.rule[PEOPLE]):
        if s.score[p] > best and (not lifting or t.who[p, LIFTS]):
            best, found = s.score[p], p
    if found >= 0:
        s.score[found] = UNWELCOME
    return found


@compiled
def _pick_lifters(t: Tables, s: Board, c: int) -> None:
    d = t.rule[FREE_ROW]
    while lifters(t, s) < t.ask[c, LIFTERS] and s.crew[d, SIZE] < t.ask[c, ASK_MOST]:
        p = _next(t, s, True)
        if p < 0:
            break
        _try(t, s, p, c)


@compiled
def _try(t: Tables, s: Board, p: int, c: int) -> None:
    """Add a person if the crew stays one that may be."""
    d = t.rule[FREE_ROW]
    size, lo, hi = s.crew[d, SIZE], s.crew[d, LO], s.crew[d, HI]
    if is_in(s, d, p) or _has_rival(t, s, p) or _is_lost(t, s, p) or _too_new(t, s, p, c):
        return
    join(t, s, p)
    if not _bring_kids(t, s, p, c) or s.crew[d, SIZE] > t.ask[c, ASK_MOST]:
        s.crew[d, SIZE], s.crew[d, LO], s.crew[d, HI] = size, lo, hi


@compiled
def _has_rival(t: Tables, s: Board, p: int) -> bool:
    """Whether somebody is in the crew from whom this person is kept apart."""
    d = t.rule[FREE_ROW]
    for i in range(s.crew[d, SIZE]):
        if t.apart[p, s.people[d, i]]:
            return True
    return False


@compiled
def _is_lost(t: Tables, s: Board, p: int) -> bool:
    """Whether this is a minor whose guardian is not in the crew."""
    guardian = t.who[p, GUARDIAN]
    return guardian != NOBODY and (guardian < 0 or not is_in(s, t.rule[FREE_ROW], guardian))


@compiled
def _too_new(t: Tables, s: Board, p: int, c: int) -> bool:
    ratio = t.ask[c, RATIO]
    if ratio < 0 or not t.may[c, p] & NEW:
        return False
    d, new, competent = t.rule[FREE_ROW], 1, 0
    for i in range(s.crew[d, SIZE]):
        new += 1 if t.may[c, s.people[d, i]] & NEW else 0
        competent += 1 if t.may[c, s.people[d, i]] & COMPETENT else 0
    return new > ratio * competent


@compiled
def _bring_kids(t: Tables, s: Board, guardian: int, c: int) -> bool:
    """Where minors follow: the minors of somebody picked come along, or False."""
    if not t.rule[FOLLOW]:
        return True
    d = t.rule[FREE_ROW]
    for i in range(t.kids.shape[1]):
        kid = t.kids[guardian, i]
        if kid < 0:
            break
        if not t.when[s.crew[d, BLOCK], kid, THERE] or is_in(s, d, kid):
            continue
        if not is_free(t, s, kid, c) or s.crew[d, SIZE] >= s.people.shape[1]:
            return False
        join(t, s, kid)
    return True


@compiled
def may_be_crew(t: Tables, s: Board) -> bool:
    """Return whether the people in the free row may be one crew, whatever it does."""
    d = t.rule[FREE_ROW]
    b, leader, size = s.crew[d, BLOCK], s.crew[d, LEADER], s.crew[d, SIZE]
    if size > t.rule[MOST]:
        return False
    for i in range(size):
        p = s.people[d, i]
        if t.bond[b, leader, p] < 0 or _has_rival(t, s, p) or _is_lost(t, s, p):
            return False
        if t.rule[FOLLOW] and _leaves_kids(t, s, p):
            return False
    return True


@compiled
def _leaves_kids(t: Tables, s: Board, p: int) -> bool:
    d = t.rule[FREE_ROW]
    for i in range(t.kids.shape[1]):
        kid = t.kids[p, i]
        if kid < 0:
            break
        if t.when[s.crew[d, BLOCK], kid, THERE] and not is_in(s, d, kid):
            return True
    return False
