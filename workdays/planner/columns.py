"""Every set of people that could be one crew, for days small enough to list them."""

from dataclasses import dataclass
from itertools import combinations

from workdays.planner.index import Ground, ones

MOST_COLUMNS = 6_000
MOST_PEOPLE = 12
MOST_JOBS = 60


@dataclass(frozen=True, slots=True)
class Column:
    """People who could be a crew of a leader in a block, and when all of them are there."""

    b: int
    leader: int
    mask: int
    size: int
    lo: int
    hi: int


def columns(ground: Ground) -> list[Column] | None:
    """All columns in a fixed order; None where there are too many to list."""
    found: list[Column] = []
    for b, block in enumerate(ground.blocks):
        for leader in ones(block.leaders):
            found += _of_leader(ground, b, leader)
            if len(found) > MOST_COLUMNS:
                return None
    return found


def _of_leader(ground: Ground, b: int, leader: int) -> list[Column]:
    block = ground.blocks[b]
    others = ones(block.mates[leader] & ~(1 << leader))
    found = []
    for count in range(max(0, ground.fewest - 1), ground.most):
        for group in combinations(others, count):
            people = (leader, *group)
            mask = sum(1 << p for p in people)
            lo = max(block.arrive[p] for p in people)
            hi = min(block.leave[p] for p in people)
            if hi >= lo and may_be_crew(ground, b, leader, mask):
                found.append(Column(b, leader, mask, len(people), lo, hi))
    return found


def may_be_crew(ground: Ground, b: int, leader: int, mask: int) -> bool:
    """Whether people may be one crew at all: size, language, guardians, pairs."""
    others = mask & ~(1 << leader)
    if mask.bit_count() > ground.most or others & ~ground.blocks[b].mates[leader]:
        return False
    follow = ground.facts.ratios.minors_follow
    for p in ones(mask):
        guardian = ground.guardian[p]
        if guardian != -1 and (guardian < 0 or not mask >> guardian & 1):
            return False
        if follow and ground.kids[p] & ground.blocks[b].there & ~mask:
            return False
        if mask & ground.rivals[p]:
            return False
    return True


def allows(ground: Ground, column: Column, j: int) -> bool:
    """Whether the people of a column may do a job together, hours and equipment aside."""
    asked = ground.classes[ground.job_class[j]]
    mine = ground.pinned.get(j) == (column.b, column.leader)
    if not mine and (j in ground.pinned or column.leader in ground.locked[column.b]):
        return False
    if column.mask & ~asked.fit or not asked.lead >> column.leader & 1:
        return False
    if not asked.fewest <= column.size <= asked.most:
        return False
    if (column.mask & ground.lifting).bit_count() < asked.lifters:
        return False
    lasts = ground.duration[j][column.size]
    if not any(
        min(hi, column.hi) - max(lo, column.lo) >= lasts for lo, hi in ground.spans[column.b][j]
    ):
        return False
    new = (column.mask & asked.new).bit_count()
    return asked.ratio < 0 or new <= asked.ratio * (column.mask & asked.competent).bit_count()
