"""What a branch of the search for a bound rules out, and how a mixture of crews is split in two.

A ban keeps a person out of a leader's crew in a block, or a job away from it. Two branches rule
out a thing and everything else instead of it: each plan is in one of them, or in both.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from workdays.planner.column_prices import BANNED, Prices
from workdays.planner.column_sorts import CrewColumn
from workdays.planner.index import Ground, ones

NEARLY = 0.02
OF_EACH = 2
Thing = tuple[str, tuple[int, ...]]
Triple = tuple[int, int, int]


@dataclass(frozen=True, slots=True)
class Bans:
    """Who and what is not with whom: (block, leader, person) and (block, leader, job)."""

    people: frozenset[Triple] = frozenset()
    jobs: frozenset[Triple] = frozenset()

    def ruled_out(self, columns: Iterable[CrewColumn]) -> set[CrewColumn]:
        """The columns that are not of this branch."""
        people: dict[tuple[int, int], int] = defaultdict(int)
        jobs: dict[tuple[int, int], set[int]] = defaultdict(set)
        for b, leader, p in self.people:
            people[b, leader] |= 1 << p
        for b, leader, j in self.jobs:
            jobs[b, leader].add(j)
        return {
            column
            for column in columns
            if column.mask & people[column.b, column.leader]
            or not jobs[column.b, column.leader].isdisjoint(column.jobs)
        }

    def charge(self, prices: Prices) -> None:
        """Make who is banned too dear for any column, and say which jobs are."""
        for b, leader, p in self.people:
            prices.member[b, leader, p] = BANNED
        for b, leader, j in sorted(self.jobs):
            prices.banned.setdefault((b, leader), []).append(j)

    def more(self, people: Iterable[Triple], jobs: Iterable[Triple]) -> "Bans":
        """These bans and others."""
        return Bans(self.people | frozenset(people), self.jobs | frozenset(jobs))


def halves(mixture: Mapping[CrewColumn, float]) -> list[Thing]:
    """A few things of each sort that a mixture does in parts, nearest to a half first."""
    parts: dict[Thing, float] = defaultdict(float)
    for column, share in mixture.items():
        b, leader = column.b, column.leader
        for p in ones(column.mask):
            parts["with", (b, leader, p)] += share
        for j in column.jobs:
            parts["in", (b, j)] += share
            parts["by", (b, leader, j)] += share
    found = [thing for thing, share in parts.items() if NEARLY < share < 1 - NEARLY]
    found.sort(key=lambda thing: (abs(parts[thing] - 0.5), thing))
    sorts = ([t for t in found if t[0] == sort][:OF_EACH] for sort in ("with", "in", "by"))
    return [thing for sort in sorts for thing in sort]


def split(ground: Ground, bans: Bans, thing: Thing) -> tuple[Bans, Bans]:
    """The two branches: without a thing; and without everything instead of it."""
    sort, (b, *rest) = thing
    if sort == "with":
        leader, p = rest
        leaders = ones(ground.blocks[b].leaders)
        elsewhere = [(b, other, p) for other in leaders if other != leader]
        return bans.more([(b, leader, p)], ()), bans.more(elsewhere, ())
    j = rest[-1]
    everywhere = {
        (block, leader, j)
        for block in range(len(ground.blocks))
        for leader in ones(ground.blocks[block].leaders)
    }
    here = {
        one for one in everywhere if one[:-1] == (b, *rest[:-1]) or (sort == "in" and one[0] == b)
    }
    return bans.more((), here), bans.more((), everywhere - here)
