"""The search: tries accepted by annealing, the best plan kept, and the plan at once."""

from math import exp

from workdays.planner.board import BEST, ENTRIES, FULL, JOBS, ROWS, SIZE, Board, keep, worth
from workdays.planner.building import make_crew
from workdays.planner.chance import dice
from workdays.planner.compiled import Ints, compiled, entry
from workdays.planner.draft import add, begin, join, ready
from workdays.planner.moves import rebuild, redeal, refill, shift, supervisors_first
from workdays.planner.people import may_be_crew
from workdays.planner.step import put_free, undo
from workdays.planner.tables import BLOCKS, FEWEST, FREE_ROW, LEADS, PEOPLE, Tables


@entry
def improve(t: Tables, s: Board, tries: int, heat: float) -> None:
    """Make so many tries at one temperature, in points; a better plan is kept."""
    for _ in range(tries):
        start_over(s)
        before = worth(t, s)
        fine = one_try(t, s) and not s.step[FULL]
        if not fine or not accepts(worth(t, s) - before, heat, dice(s)):
            undo(t, s, 0)
        elif worth(t, s) > s.now[BEST]:
            keep(t, s)


@compiled
def start_over(s: Board) -> None:
    """Begin a step: what was done before is done."""
    s.step[ENTRIES] = s.step[ROWS] = s.step[FULL] = 0


@compiled
def one_try(t: Tables, s: Board) -> bool:
    """One try of a kind chosen by chance; False: it came to nothing."""
    kind = dice(s)
    if kind < 0.4:
        return rebuild(t, s)
    if kind < 0.52:
        return refill(t, s)
    if kind < 0.66:
        return redeal(t, s)
    return shift(t, s)


@compiled
def accepts(gain: int, heat: float, chance: float) -> bool:
    """Return whether a step that changes the points by ``gain`` is kept."""
    return gain >= 0 or chance < exp(gain / heat)


@entry
def construct(t: Tables, s: Board) -> None:
    """Fill a plan greedily, without noise: each block in turn, leaders who supervise first."""
    for b in range(t.rule[BLOCKS]):
        count = 0
        for p in range(t.rule[PEOPLE]):
            if t.when[b, p, LEADS] and s.at[b, p] < 0:
                s.leaders[count] = p
                count += 1
        supervisors_first(t, s, count)
        for i in range(count):
            leader = s.leaders[i]
            start_over(s)
            if s.at[b, leader] < 0 and make_crew(t, s, b, leader, 0.0):
                put_free(t, s)
    keep(t, s)


@entry
def enter(t: Tables, s: Board, b: int, people: Ints, jobs: Ints) -> None:
    """Put in a crew of an older plan, leader first, as far as it may still be; -1 ends a list."""
    start_over(s)
    leader = people[0]
    if s.at[b, leader] >= 0 or not t.when[b, leader, LEADS]:
        return
    begin(t, s, b, leader)
    for p in people[1:]:
        if p >= 0 and s.at[b, p] < 0 and s.crew[t.rule[FREE_ROW], SIZE] < s.people.shape[1]:
            join(t, s, p)
    if s.crew[t.rule[FREE_ROW], SIZE] < t.rule[FEWEST] or not may_be_crew(t, s):
        return
    ready(t, s)
    for j in jobs:
        if j >= 0:
            add(t, s, j)
    if s.crew[t.rule[FREE_ROW], JOBS]:
        put_free(t, s)


@entry
def keep_now(t: Tables, s: Board) -> None:
    """Keep the plan as it is as the best so far."""
    keep(t, s)
