"""A day as arrays of whole numbers, for the compiled search. Nothing here changes while it runs.

P people, J jobs, B blocks, C classes of jobs, K pieces of equipment, S sections, M the most
people of a crew. Lists of unequal length are padded with -1.
"""

from typing import NamedTuple

import numpy as np

from workdays.planner.compiled import Ints, record
from workdays.planner.index import Ground, ones

# Columns of `rule`.
(FEWEST, MOST, CREWS, TRAINEES, FOLLOW, TRAINING, SPLIT, SECTION_AWAY, CHANGE, IDLE, TOGETHER,
 MOST_MOVED, BLOCKS, PEOPLE, FREE_ROW, FAIRNESS, WALK) = range(17)  # fmt: skip
# Columns of `who`, `when` and `ask`, and of `job`.
GOAL, PARTY, GUARDIAN, LIFTS = range(4)
THERE, ARRIVE, LEAVE, LEADS = range(4)
ASK_FEWEST, ASK_MOST, RATIO, LIFTERS, SUPERVISED, SKILL = range(6)
(CLASS, PRIORITY, SECTION, PIN_BLOCK, PIN_LEADER, BEGUN_AT, HAS_KIT, HAS_FIRST, KIND, EAST,
 NORTH) = range(11)  # fmt: skip
# Bits of `may`.
FIT, LEAD, NEW, COMPETENT, BELOW, MASTER = 1, 2, 4, 8, 16, 32
NOBODY = -1
NO_LIMIT = 1 << 30
FINE = 1000  # scores are whole numbers, in thousandths of a point


@record
class Tables(NamedTuple):
    """The day.

    `bond` (B, P, P): what it is worth to have a person (last) in the crew of a leader, -1: it may
    not be. `may` (C + 1, P): bits; the last row says who may supervise anything. `enough` (N + 1,
    P): who has done enough of a kind of work. `lasts` (J, M + 1): quarter hours by size. `spans`
    (B, J, W, 2). `old` (B, P): the leader of the published plan who is still there, -1: none.
    `closed` (B, P): leaders whose crew does only what is pinned to it.
    """

    rule: Ints
    who: Ints
    kids: Ints
    when: Ints
    bond: Ints
    apart: Ints
    pairs: Ints
    may: Ints
    enough: Ints
    ask: Ints
    job: Ints
    lasts: Ints
    need: Ints
    spans: Ints
    open: Ints
    first: Ints
    later: Ints
    inside: Ints
    old: Ints
    closed: Ints
    density: Ints


def tables_of(ground: Ground) -> Tables:
    """Return the arrays of a day."""
    job = _jobs(ground)
    return Tables(
        rule=_rules(ground),
        who=_who(ground),
        kids=_lists([ones(kids) for kids in ground.kids]),
        when=_when(ground),
        bond=_bonds(ground),
        apart=_matrix(ground.rivals, len(ground.people)),
        pairs=_lists([ones(pair) for pair in ground.pairs], 2),
        may=_may(ground),
        enough=_enough(ground),
        ask=_asks(ground),
        job=job,
        lasts=_lists(ground.duration),
        need=_needs(ground),
        spans=_spans(ground),
        open=_ints(ground.open),
        first=_lists(ground.after),
        later=_lists(ground.later),
        inside=_lists(ground.in_section),
        old=_ints(ground.old),
        closed=_matrix([sum(1 << p for p in found) for found in ground.locked], len(ground.people)),
        density=_ints([int(FINE * density) for density in ground.density] + [0]),
    )


def _ints(rows: object) -> Ints:
    return np.array(rows, dtype=np.int64)


def _lists(rows: list[list[int]], least: int = 1) -> Ints:
    """Rows of unequal length, padded; never without a column, and with one row more than asked."""
    width = max([least, *(len(row) for row in rows)])
    found = np.full((len(rows) + 1, width), NOBODY, dtype=np.int64)
    for i, row in enumerate(rows):
        found[i, : len(row)] = row
    return found


def _rules(ground: Ground) -> Ints:
    ratios, weights = ground.facts.ratios, ground.weights
    blocks, people = len(ground.blocks), len(ground.people)
    most_moved = ground.facts.max_moved
    counted = ground.facts.before is not None and most_moved is not None
    return _ints([
        ground.fewest, ground.most, ratios.crews_per_supervisor, ratios.trainees_per_supervisor,
        ratios.minors_follow, weights.training, weights.split, weights.section, weights.change,
        weights.idle, weights.together, most_moved if counted else NO_LIMIT, blocks, people,
        blocks * people, weights.fairness, weights.walk,
    ])  # fmt: skip


def _who(ground: Ground) -> Ints:
    skill = {name: i for i, name in enumerate(ground.skills)}
    goals = [skill.get(p.goal or "", NOBODY) for p in ground.people]
    lifts = [p.lift for p in ground.people]
    columns = [goals, ground.party, ground.guardian, lifts]
    return np.array(columns, dtype=np.int64).T.copy()


def _when(ground: Ground) -> Ints:
    people = range(len(ground.people))
    return _ints(
        [
            [[b.there >> p & 1, b.arrive[p], b.leave[p], b.leaders >> p & 1] for p in people]
            for b in ground.blocks
        ]
    ).reshape(len(ground.blocks), len(people), 4)


def _matrix(masks: list[int], width: int) -> Ints:
    """Return a row of noughts and ones for each set of bits."""
    found = np.zeros((len(masks), width), dtype=np.int64)
    for i, mask in enumerate(masks):
        found[i, ones(mask)] = 1
    return found


def _bonds(ground: Ground) -> Ints:
    people = len(ground.people)
    found = np.zeros((len(ground.blocks), people, people), dtype=np.int64)
    for b, block in enumerate(ground.blocks):
        found[b] = _matrix(block.mates, people) - 1
        for leader, wishes in block.wanted.items():
            for mask, worth in wishes:
                for p in ones(mask):
                    found[b, leader, p] += worth if p == leader or found[b, leader, p] >= 0 else 0
    return found


def _may(ground: Ground) -> Ints:
    people = len(ground.people)
    found = np.zeros((len(ground.classes) + 1, people), dtype=np.int64)
    for c, asked in enumerate(ground.classes):
        sets = ((FIT, asked.fit), (LEAD, asked.lead), (NEW, asked.new))
        more = ((COMPETENT, asked.competent), (BELOW, asked.below), (MASTER, asked.masters))
        for bit, mask in sets + more:
            found[c, ones(mask)] |= bit
        found[-1] |= MASTER * _matrix([asked.masters if asked.supervised else 0], people)[0]
    return found


def _asks(ground: Ground) -> Ints:
    rows = [
        [c.fewest, c.most, c.ratio, c.lifters, int(c.supervised), c.skill] for c in ground.classes
    ]
    return _lists(rows, 6)


def _enough(ground: Ground) -> Ints:
    kinds = [kind.id for kind in ground.facts.kinds]
    found = np.zeros((len(kinds) + 1, len(ground.people)), dtype=np.int64)
    for p, person in enumerate(ground.people):
        for kind in person.enough:
            if kind in kinds:
                found[kinds.index(kind), p] = 1
    return found


def _jobs(ground: Ground) -> Ints:
    kind = {kind.id: i for i, kind in enumerate(ground.facts.kinds)}
    rows = [
        [
            ground.job_class[j], ground.priority[j], ground.section[j],
            *ground.pinned.get(j, (NOBODY, NOBODY)), ground.begun.get(j, NOBODY),
            bool(ground.kit[j]), bool(ground.after[j]), kind[ground.jobs[j].kind],
            *ground.place[j],
        ]
        for j in range(len(ground.jobs))
    ]  # fmt: skip
    return _lists(rows, 11)


def _needs(ground: Ground) -> Ints:
    found = np.zeros((len(ground.jobs) + 1, max(1, len(ground.kits))), dtype=np.int64)
    for j, needs in enumerate(ground.kit):
        for kit, count in needs:
            found[j, kit] = min(count, NO_LIMIT)
    return found


def _spans(ground: Ground) -> Ints:
    width = max([1, *(len(spans) for block in ground.spans for spans in block)])
    shape = (len(ground.blocks), len(ground.jobs) + 1, width, 2)
    found = np.zeros(shape, dtype=np.int64)
    found[..., 0] = NO_LIMIT  # a stretch that ends before it begins holds nothing
    for b, block in enumerate(ground.spans):
        for j, spans in enumerate(block):
            for w, span in enumerate(spans):
                found[b, j, w] = span
    return found
