"""People who must be looked at together when crews are priced: parties, minors and guardians.

Each group has options: which of its people are in the crew. Groups too large to list are looked
at in smaller ones, or one by one, which only relaxes rules.
"""

from dataclasses import dataclass
from itertools import combinations

from workdays.planner.index import Ground, ones

LARGEST = 6


@dataclass(frozen=True, slots=True)
class Group:
    """People, the options of who of them comes, and the party that they are (-1: none)."""

    mask: int
    options: tuple[int, ...]
    parties: tuple[int, ...]


def groups_of(ground: Ground, b: int) -> list[Group]:
    """The people who are there in a block, in groups."""
    there = ground.blocks[b].there
    wide = _components(ground, there, with_parties=True)
    found = []
    for mask in wide:
        if mask.bit_count() <= LARGEST:
            parties = {ground.party[p] for p in ones(mask)} - {-1}
            found.append(Group(mask, _options(ground, there, mask), tuple(sorted(parties))))
        else:
            found += _without_parties(ground, there, mask)
    return found


def _without_parties(ground: Ground, there: int, mask: int) -> list[Group]:
    found = []
    for part in _components(ground, mask, with_parties=False):
        if part.bit_count() <= LARGEST:
            found.append(Group(part, _options(ground, there, part), ()))
        else:
            found += [Group(1 << p, (0, 1 << p), ()) for p in ones(part)]
    return found


def _components(ground: Ground, mask: int, *, with_parties: bool) -> list[int]:
    """Sets of people tied to each other, in the order of their first."""
    found = []
    left = mask
    while left:
        part, grown = left & -left, 0
        while part != grown:
            grown = part
            for p in ones(grown):
                part |= _tied(ground, p, with_parties=with_parties) & mask
        found.append(part)
        left &= ~part
    return found


def _tied(ground: Ground, p: int, *, with_parties: bool) -> int:
    tied = ground.kids[p]
    if ground.guardian[p] >= 0:
        tied |= 1 << ground.guardian[p]
    return tied | ground.partners[p] if with_parties else tied


def _options(ground: Ground, there: int, mask: int) -> tuple[int, ...]:
    people = ones(mask)
    found = []
    for count in range(min(len(people), ground.most) + 1):
        for some in combinations(people, count):
            option = sum(1 << p for p in some)
            if _allowed(ground, there, option):
                found.append(option)
    return tuple(found)


def _allowed(ground: Ground, there: int, option: int) -> bool:
    """Whether each minor has the guardian along, and, where minors follow, the other way round."""
    for p in ones(option):
        guardian = ground.guardian[p]
        if guardian == -2 or (guardian >= 0 and not option >> guardian & 1):
            return False
        if ground.facts.ratios.minors_follow and ground.kids[p] & there & ~option:
            return False
    return True
