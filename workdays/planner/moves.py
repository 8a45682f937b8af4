"""Tries of the search: take a few crews apart and make others, change people, change jobs."""

from workdays.planner.board import BLOCK, ENTRIES, FULL, JOBS, LEADER, SIZE, Board, is_in, worth
from workdays.planner.building import fill, make_crew
from workdays.planner.chance import dice, one_of
from workdays.planner.compiled import compiled
from workdays.planner.draft import add, begin, join, ready
from workdays.planner.people import may_be_crew
from workdays.planner.step import TOOK_ALONG, put_free, row_of, take_out, undo
from workdays.planner.tables import (
    BLOCKS,
    FEWEST,
    FREE_ROW,
    LEADS,
    MASTER,
    MOST,
    NOBODY,
    PEOPLE,
    THERE,
    Tables,
)

NOISE = 0.5
MOST_LEADERS = 8
MANY_CREWS = 12


@compiled
def rebuild(t: Tables, s: Board) -> bool:
    """Take one to four crews of a block apart and build anew from what is free."""
    b = one_of(s, t.rule[BLOCKS])
    if s.crews[b]:
        first = s.live[b, one_of(s, s.crews[b])]
        near = s.crews[b] > MANY_CREWS and dice(s) < 0.7
        for _ in range(1 + int(dice(s) * 3.5)):
            if s.crews[b]:
                c = s.live[b, one_of(s, s.crews[b])]
                take_out(t, s, _near(s, b, first, c) if near else c)
    early = dice(s) < 0.5
    if early:
        build(t, s, b, NOISE)
    bring_back(t, s, 0)
    for block in range(t.rule[BLOCKS]):
        if (block == b and not early) or (block != b and _took(s, block)):
            build(t, s, block, NOISE)
    join_left(t, s, b)
    return True


@compiled
def _near(s: Board, b: int, first: int, c: int) -> int:
    """Another crew instead of ``c`` that shares a section with ``first``, where one is found."""
    for _ in range(8):
        other = s.live[b, one_of(s, s.crews[b])]
        for section in range(s.jobs_in.shape[1]):
            if s.jobs_in[first, section] and s.jobs_in[other, section]:
                return other
    return c


@compiled
def _took(s: Board, b: int) -> bool:
    """Whether this step has taken a crew of a block out."""
    for n in range(s.step[ENTRIES]):
        if s.journal[n, 2] >= 0 and s.crew[s.journal[n, 2], BLOCK] == b:
            return True
    return False


@compiled
def build(t: Tables, s: Board, b: int, noise: float) -> None:
    """Put in as many crews as seem worth it, led by a few of those who are free."""
    for i in range(_free_leaders(t, s, b)):
        leader = s.leaders[i]
        if s.at[b, leader] < 0 and make_crew(t, s, b, leader, noise):
            put_free(t, s)


@compiled
def _free_leaders(t: Tables, s: Board, b: int) -> int:
    """Put free people who may lead into `leaders`, in random order, supervisors mostly first."""
    count = 0
    for p in range(t.rule[PEOPLE]):
        if t.when[b, p, LEADS] and s.at[b, p] < 0:
            s.leaders[count] = p
            count += 1
    for i in range(count):
        other = i + one_of(s, count - i)
        s.leaders[i], s.leaders[other] = s.leaders[other], s.leaders[i]
    count = min(count, MOST_LEADERS)
    if dice(s) < 0.8:
        supervisors_first(t, s, count)
    return count


@compiled
def supervisors_first(t: Tables, s: Board, count: int) -> None:
    """Put those of `leaders` who may supervise before the others."""
    masters = 0
    for i in range(count):
        if t.may[len(t.ask) - 1, s.leaders[i]] & MASTER:
            s.leaders[i], s.leaders[masters] = s.leaders[masters], s.leaders[i]
            masters += 1


@compiled
def bring_back(t: Tables, s: Board, mark: int) -> None:
    """Make crews again that went only because of others, with the jobs that they still may do."""
    for n in range(mark, s.step[ENTRIES]):
        if s.journal[n, 0] == TOOK_ALONG and not s.crew[s.journal[n, 1], SIZE]:
            row = s.journal[n, 2]
            if people_of(t, s, row, NOBODY, NOBODY):
                make_again(t, s, row, 0.0, False)


@compiled
def people_of(t: Tables, s: Board, row: int, without: int, more: int) -> bool:
    """Put the people of a row into the free row, but for one and with one more.

    False: somebody is not free, or they may not be one crew.
    """
    b, leader, d = s.crew[row, BLOCK], s.crew[row, LEADER], t.rule[FREE_ROW]
    if s.at[b, leader] >= 0 or leader == without:
        return False
    begin(t, s, b, leader)
    for i in range(s.crew[row, SIZE]):
        p = s.people[row, i]
        if p != leader and p != without:
            if s.at[b, p] >= 0:
                return False
            join(t, s, p)
    if more >= 0:
        if s.at[b, more] >= 0 or s.crew[d, SIZE] >= t.rule[MOST]:
            return False
        join(t, s, more)
    return s.crew[d, SIZE] >= t.rule[FEWEST] and may_be_crew(t, s)


@compiled
def make_again(t: Tables, s: Board, row: int, drop: float, more: bool) -> None:
    """Give the people in the free row the jobs of a row, some dropped, then more; put them in."""
    ready(t, s)
    for i in range(s.crew[row, JOBS]):
        if drop == 0 or dice(s) >= drop:
            add(t, s, s.jobs[row, i])
    if more:
        fill(t, s, s.jobs[row, 0], NOISE)
    if s.crew[t.rule[FREE_ROW], JOBS]:
        put_free(t, s)


@compiled
def remake(t: Tables, s: Board, c: int, without: int, more: int, drop: float) -> bool:
    """Take a crew out and make it again with other people or jobs; False: it may not be."""
    mark = s.step[ENTRIES]
    row = take_out(t, s, c)
    if s.step[FULL] or not people_of(t, s, row, without, more):
        return False
    make_again(t, s, row, drop, True)
    bring_back(t, s, mark)
    return True


@compiled
def join_left(t: Tables, s: Board, b: int) -> None:
    """Offer people who are still free to crews; keep what gains."""
    for p in range(t.rule[PEOPLE]):
        if t.when[b, p, THERE] and s.at[b, p] < 0 and s.crews[b] and dice(s) < 0.5:
            c = s.live[b, one_of(s, s.crews[b])]
            if s.crew[c, SIZE] < t.rule[MOST]:
                mark, before = s.step[ENTRIES], worth(t, s)
                if not remake(t, s, c, NOBODY, p, 0.0) or worth(t, s) <= before:
                    undo(t, s, mark)


@compiled
def refill(t: Tables, s: Board) -> bool:
    """One crew, the same people, some of its jobs given up for others."""
    c = any_crew(t, s)
    return c >= 0 and remake(t, s, c, NOBODY, NOBODY, 0.5)


@compiled
def redeal(t: Tables, s: Board) -> bool:
    """Two crews of a block, the same people, some of their jobs dealt anew."""
    c = any_crew(t, s)
    if c < 0:
        return False
    b = s.crew[c, BLOCK]
    other = _near(s, b, c, c)
    if other == c:
        return remake(t, s, c, NOBODY, NOBODY, 0.5)
    row = take_out(t, s, c)
    more = row_of(t, s, other)
    if s.step[FULL] or more < 0:
        return False
    if dice(s) < 0.5:
        row, more = more, row
    if people_of(t, s, row, NOBODY, NOBODY):
        make_again(t, s, row, 0.6, True)
    if people_of(t, s, more, NOBODY, NOBODY):
        make_again(t, s, more, 0.6, True)
    bring_back(t, s, 0)
    return True


@compiled
def shift(t: Tables, s: Board) -> bool:
    """One person leaves a crew, or joins one from another crew or from nowhere."""
    c = any_crew(t, s)
    if c < 0:
        return False
    b = s.crew[c, BLOCK]
    p = one_of(s, t.rule[PEOPLE])
    if dice(s) < 0.2:
        return remake(t, s, c, _member(s, c), NOBODY, 0.0)
    for _ in range(4):
        if t.when[b, p, THERE] and not is_in(s, c, p):
            return _swap_in(t, s, c, p)
        p = one_of(s, t.rule[PEOPLE])
    return False


@compiled
def _member(s: Board, c: int) -> int:
    """Somebody of a crew who does not lead it; -1: nobody."""
    size = s.crew[c, SIZE]
    if size < 2:
        return NOBODY
    at = one_of(s, size)
    p = s.people[c, at]
    return p if p != s.crew[c, LEADER] else s.people[c, (at + 1) % size]


@compiled
def _swap_in(t: Tables, s: Board, c: int, p: int) -> bool:
    """A person comes into a crew; perhaps another goes the other way."""
    b = s.crew[c, BLOCK]
    other = NOBODY if s.at[b, p] < 0 else b * t.rule[PEOPLE] + s.at[b, p]
    back = _member(s, c) if dice(s) < 0.5 or s.crew[c, SIZE] >= t.rule[MOST] else NOBODY
    row = take_out(t, s, c)
    if other >= 0 and not _let_go(t, s, other, p, back):
        return False
    if s.step[FULL] or not people_of(t, s, row, back, p):
        return False
    make_again(t, s, row, 0.0, True)
    bring_back(t, s, 0)
    return True


@compiled
def _let_go(t: Tables, s: Board, other: int, p: int, back: int) -> bool:
    """Make the other crew again without a person, with who came back; a leader's crew ends."""
    row = row_of(t, s, other)
    if row < 0 or s.crew[row, LEADER] == p:
        return row >= 0
    if not people_of(t, s, row, p, back):
        return False
    make_again(t, s, row, 0.0, True)
    return True


@compiled
def any_crew(t: Tables, s: Board) -> int:
    """Return a crew by chance; -1 where there is none."""
    count = 0
    for b in range(t.rule[BLOCKS]):
        count += s.crews[b]
    at = one_of(s, count)
    for b in range(t.rule[BLOCKS]):
        if at < s.crews[b]:
            return s.live[b, at]
        at -= s.crews[b]
    return NOBODY
