"""A plan under search: crews put in and taken out again, with the points kept up to date.

Crew ``c`` is that of leader ``c % P`` in block ``c // P``: a row of `crew`, `people`, `jobs` and
`starts`. The row after all crews is the crew being made, the last is spare; those between keep
crews that a step has taken out (`step.py`). Rows are copied, never shared.
"""

from math import sqrt
from typing import NamedTuple

import numpy as np

from workdays.planner.compiled import Ints, compiled, record
from workdays.planner.tables import (
    BLOCKS,
    CHANGE,
    CLASS,
    EAST,
    FAIRNESS,
    GOAL,
    IDLE,
    KIND,
    MOST,
    MOST_MOVED,
    NOBODY,
    NORTH,
    PARTY,
    PRIORITY,
    SECTION_AWAY,
    SKILL,
    SPLIT,
    TOGETHER,
    TRAINING,
    WALK,
    Tables,
)
from workdays.rules.crew_points import STRETCH_M

# Columns of `crew`.
BLOCK, LEADER, SIZE, JOBS, LO, HI, ROOM, PLAIN, SUPERVISOR, TRAINEES, GAIN, SECTIONS = range(12)
# Places of `now`: points of the crews, people moved from the published plan, the best so far.
TOTAL, MOVED, BEST, KEPT = range(4)
EXCESS = 100_000  # points for each person moved above the limit: never worth it
UNDO_LEAST = 64  # rows for crews taken out in one step, beside two for each that can be
STRETCH_DM = 10 * STRETCH_M  # places of jobs are in whole tenths of a metre
ZERO_MINUTES = 12  # so many jobs that take no time at all fit into one crew's block
# Places of `step`: entries of the journal, rows of it in use, whether it was too short.
ENTRIES, ROWS, FULL = range(3)


@record
class Board(NamedTuple):
    """The state of a search; R rows of crews.

    `jobs_in` (R, S): jobs of a crew in each section. `kit` (R, K): what it holds. `at` (B, P):
    leader of a person, -1: free. `done` (J): crew of a job, -1: none. `left` (B, K). `load`
    (B, P, 2): crews and trainees under a person. `party` (B, P, N), `spread` (B, N): people of a
    party with a leader, crews it is spread over. `live` (B, P): crews that are there, `crews` (B),
    `place` (R). `journal`: what a step has done. `kept_...`: the best plan so far. The rest is
    scratch.
    """

    crew: Ints
    people: Ints
    jobs: Ints
    starts: Ints
    kit: Ints
    jobs_in: Ints
    below: Ints
    at: Ints
    done: Ints
    left: Ints
    load: Ints
    party: Ints
    spread: Ints
    missed: Ints
    live: Ints
    crews: Ints
    place: Ints
    now: Ints
    step: Ints
    journal: Ints
    stack: Ints
    leaders: Ints
    allowed: Ints
    order: Ints
    score: Ints
    kept_crew: Ints
    kept_people: Ints
    kept_jobs: Ints
    kept_starts: Ints
    seed: Ints


def new_board(t: Tables, kit_there: list[int], parties: int, seed: int) -> Board:
    """Return an empty plan."""
    blocks, people = t.old.shape
    jobs, crews, most = len(t.job), blocks * people, int(t.rule[MOST])
    longest = int(t.spans[..., 1].max(initial=0))
    many = max(1, min(jobs, longest + ZERO_MINUTES))
    undo = UNDO_LEAST + 2 * crews
    rows, sections = crews + 1 + undo + 1, max(1, len(t.inside))

    def empty(*shape: int, of: int = 0) -> Ints:
        return np.full(shape, of, dtype=np.int64)

    there = np.array([kit_there or [0]] * max(1, blocks), dtype=np.int64)
    missed = (t.old >= 0).sum(axis=0).astype(np.int64)
    return Board(
        crew=empty(rows, 12),
        people=empty(rows, most),
        jobs=empty(rows, many),
        starts=empty(rows, many),
        kit=empty(rows, there.shape[1]),
        jobs_in=empty(rows, sections),
        below=empty(rows, most),
        at=empty(blocks, people, of=NOBODY),
        done=empty(jobs, of=NOBODY),
        left=there,
        load=empty(blocks, people, 2),
        party=empty(blocks, people, max(1, parties)),
        spread=empty(blocks, max(1, parties)),
        missed=missed,
        live=empty(blocks, people + 1),
        crews=empty(blocks),
        place=empty(rows),
        now=np.array([0, (missed > 0).sum(), -(1 << 60), 0], dtype=np.int64),
        step=empty(3),
        journal=empty(3 * undo, 3),
        stack=empty(undo * 2),
        leaders=empty(people + 1),
        allowed=empty(len(t.ask)),
        order=empty(sections + 1),
        score=empty(max(people, jobs) + 1),
        kept_crew=empty(crews + 1, 12),
        kept_people=empty(crews + 1, most),
        kept_jobs=empty(crews + 1, many),
        kept_starts=empty(crews + 1, many),
        seed=np.array([(seed * 2654435769 + 1) % (1 << 32) or 1, seed % (1 << 32)]),
    )


@compiled
def worth(t: Tables, s: Board) -> int:
    """Return the points of the plan; far below nought where too many people are moved."""
    return s.now[TOTAL] - EXCESS * max(0, s.now[MOVED] - t.rule[MOST_MOVED])


@compiled
def copy_crew(s: Board, a: int, to: int) -> None:
    """Copy row ``a`` over row ``to``."""
    for i in range(s.crew.shape[1]):
        s.crew[to, i] = s.crew[a, i]
    size, jobs = s.crew[a, SIZE], s.crew[a, JOBS]
    for i in range(size):
        s.people[to, i] = s.people[a, i]
        s.below[to, i] = s.below[a, i]
    for i in range(jobs):
        s.jobs[to, i] = s.jobs[a, i]
        s.starts[to, i] = s.starts[a, i]
    for k in range(s.kit.shape[1]):
        s.kit[to, k] = s.kit[a, k]
    for section in range(s.jobs_in.shape[1]):
        s.jobs_in[to, section] = s.jobs_in[a, section]


@compiled
def put(t: Tables, s: Board, c: int) -> None:
    """Count a crew in; its row is filled, and the caller has made sure that it fits."""
    b, leader = s.crew[c, BLOCK], s.crew[c, LEADER]
    s.live[b, s.crews[b]] = c
    s.place[c] = s.crews[b]
    s.crews[b] += 1
    for i in range(s.crew[c, JOBS]):
        s.done[s.jobs[c, i]] = c
    _hold(s, c, 1)
    cost = _changes(t, s, c) * t.rule[CHANGE]
    for i in range(s.crew[c, SIZE]):
        p = s.people[c, i]
        s.at[b, p] = leader
        cost += t.rule[SPLIT] * _join_party(t, s, b, leader, p)
        if t.old[b, p] == leader:
            s.missed[p] -= 1
            s.now[MOVED] -= s.missed[p] == 0
    s.now[TOTAL] += s.crew[c, GAIN] - cost


@compiled
def take(t: Tables, s: Board, c: int) -> None:
    """Count a crew out; its row stays filled but for its size."""
    b, leader = s.crew[c, BLOCK], s.crew[c, LEADER]
    s.crews[b] -= 1
    last = s.live[b, s.crews[b]]
    s.live[b, s.place[c]] = last
    s.place[last] = s.place[c]
    for i in range(s.crew[c, JOBS]):
        s.done[s.jobs[c, i]] = NOBODY
    _hold(s, c, -1)
    cost = _changes(t, s, c) * t.rule[CHANGE]
    for i in range(s.crew[c, SIZE]):
        p = s.people[c, i]
        s.at[b, p] = NOBODY
        cost += t.rule[SPLIT] * _leave_party(t, s, b, leader, p)
        if t.old[b, p] == leader:
            s.now[MOVED] += s.missed[p] == 0
            s.missed[p] += 1
    s.now[TOTAL] -= s.crew[c, GAIN] - cost
    s.crew[c, SIZE] = 0


@compiled
def _hold(s: Board, c: int, sign: int) -> None:
    """Take equipment and a supervisor's time, or give them back (-1)."""
    b = s.crew[c, BLOCK]
    for k in range(s.kit.shape[1]):
        s.left[b, k] -= sign * s.kit[c, k]
    supervisor = s.crew[c, SUPERVISOR]
    if supervisor >= 0:
        s.load[b, supervisor, 0] += sign
        s.load[b, supervisor, 1] += sign * s.crew[c, TRAINEES]


@compiled
def _changes(t: Tables, s: Board, c: int) -> int:
    """Return how often people of a crew have another leader in the block before or after."""
    b, leader, found = s.crew[c, BLOCK], s.crew[c, LEADER], 0
    for i in range(s.crew[c, SIZE]):
        p = s.people[c, i]
        if b > 0:
            found += s.at[b - 1, p] >= 0 and s.at[b - 1, p] != leader
        if b + 1 < t.rule[BLOCKS]:
            found += s.at[b + 1, p] >= 0 and s.at[b + 1, p] != leader
    return found


@compiled
def _join_party(t: Tables, s: Board, b: int, leader: int, p: int) -> int:
    """Note a member of a party with a leader; return whether that spreads it further."""
    party = t.who[p, PARTY]
    if party < 0:
        return 0
    s.party[b, leader, party] += 1
    if s.party[b, leader, party] > 1:
        return 0
    s.spread[b, party] += 1
    return 1 if s.spread[b, party] > 1 else 0


@compiled
def _leave_party(t: Tables, s: Board, b: int, leader: int, p: int) -> int:
    """Take a member of a party from a leader; return whether it was spread over more."""
    party = t.who[p, PARTY]
    if party < 0:
        return 0
    s.party[b, leader, party] -= 1
    if s.party[b, leader, party] > 0:
        return 0
    s.spread[b, party] -= 1
    return 1 if s.spread[b, party] > 0 else 0


@compiled
def gain_of(t: Tables, s: Board, c: int) -> int:
    """Return what a crew is worth by itself: jobs, training, work instead of idling, sections."""
    b, leader, size = s.crew[c, BLOCK], s.crew[c, LEADER], s.crew[c, SIZE]
    found = -t.rule[SECTION_AWAY] * max(0, s.crew[c, SECTIONS] - 1)
    for i in range(s.crew[c, JOBS]):
        j = s.jobs[c, i]
        found += t.job[j, PRIORITY] + t.rule[IDLE] * size * t.lasts[j, size]
    for i in range(size):
        p = s.people[c, i]
        found += t.bond[b, leader, p]
        if t.who[p, GOAL] >= 0 and does_skill(t, s, c, t.who[p, GOAL]):
            found += t.rule[TRAINING]
    if t.rule[TOGETHER] or t.rule[FAIRNESS] or t.rule[WALK]:
        found += _extras(t, s, c)
    return found


@compiled
def _extras(t: Tables, s: Board, c: int) -> int:
    """Points that the example days do not have: pairs, plain work again, walks."""
    found = 0
    for n in range(len(t.pairs) - 1):
        both = is_in(s, c, t.pairs[n, 0]) and is_in(s, c, t.pairs[n, 1])
        found += t.rule[TOGETHER] * both
    for i in range(s.crew[c, SIZE]):
        found -= t.rule[FAIRNESS] * _is_wearied(t, s, c, s.people[c, i])
    for i in range(s.crew[c, JOBS] - 1):
        found -= t.rule[WALK] * walk(t, s.jobs[c, i], s.jobs[c, i + 1])
    return found


@compiled
def _is_wearied(t: Tables, s: Board, c: int, p: int) -> bool:
    """Whether a crew has a job of a kind that a person has done enough of."""
    for i in range(s.crew[c, JOBS]):
        if t.enough[t.job[s.jobs[c, i], KIND], p]:
            return True
    return False


@compiled
def walk(t: Tables, j: int, other: int) -> int:
    """Return the whole tens of metres between two jobs."""
    east, north = t.job[j, EAST] - t.job[other, EAST], t.job[j, NORTH] - t.job[other, NORTH]
    return int(sqrt(float(east * east + north * north))) // STRETCH_DM


@compiled
def does_skill(t: Tables, s: Board, c: int, skill: int) -> bool:
    """Return whether a crew has a job of a skill."""
    for i in range(s.crew[c, JOBS]):
        if t.ask[t.job[s.jobs[c, i], CLASS], SKILL] == skill:
            return True
    return False


@compiled
def is_in(s: Board, c: int, p: int) -> bool:
    """Return whether a person is in a crew."""
    for i in range(s.crew[c, SIZE]):
        if s.people[c, i] == p:
            return True
    return False


@compiled
def keep(t: Tables, s: Board) -> None:
    """Keep the plan as the best so far."""
    kept = 0
    for b in range(t.rule[BLOCKS]):
        for i in range(s.crews[b]):
            c = s.live[b, i]
            for n in range(s.crew.shape[1]):
                s.kept_crew[kept, n] = s.crew[c, n]
            for n in range(s.crew[c, SIZE]):
                s.kept_people[kept, n] = s.people[c, n]
            for n in range(s.crew[c, JOBS]):
                s.kept_jobs[kept, n] = s.jobs[c, n]
                s.kept_starts[kept, n] = s.starts[c, n]
            kept += 1
    s.now[KEPT] = kept
    s.now[BEST] = worth(t, s)
