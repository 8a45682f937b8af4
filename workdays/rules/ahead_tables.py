"""The facts of a look ahead by small numbers, as hundreds of tries of the same work need them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from workdays.rules.ahead_facts import SLOT_MINUTES, AheadFacts, Undone
from workdays.rules.facts import NEW, SIGNED_OFF, SUPERVISOR, JobFacts, KindFacts, PersonFacts


@dataclass(slots=True, eq=False)
class Hand:
    """One person as the crews of a day are made; tuples hold an answer for each kind of work.

    `worth`: what is lost when they only help. `wards`: minors who came along today.
    """

    id: str
    leads: tuple[bool, ...]
    helps: tuple[bool, ...]
    new: tuple[bool, ...]
    able: tuple[bool, ...]
    supervises: tuple[bool, ...]
    lifts: bool
    frail: bool
    langs: frozenset[str]
    guardian: str | None
    worth: int = 0
    wards: "list[Hand]" = field(default_factory=list)

    @property
    def heads(self) -> int:
        """How many they are with the minors who came along."""
        return 1 + len(self.wards)

    @property
    def group(self) -> "list[Hand]":
        """Who joins a crew when this person does."""
        return [self, *self.wards] if self.wards else [self]


@dataclass(frozen=True, slots=True)
class Sort:
    """Jobs that any crew may do if it may do one of them.

    `section` tells them apart only where a supervisor has to be near.
    """

    kind: int
    fewest: int
    most: int
    lifters: int
    kit: tuple[tuple[str, int], ...]
    section: str = ""


class Tables:
    """Jobs by their place in the order of priority, people and kinds of work by number."""

    def __init__(self, facts: AheadFacts) -> None:
        self.facts = facts
        self.kinds = facts.kinds
        numbers = {kind.id: number for number, kind in enumerate(facts.kinds)}
        self.order = sorted(numbers.values(), key=lambda n: _scarcity(self.kinds[n]))
        self.day_minutes = SLOT_MINUTES * sum(facts.blocks)
        self.jobs = sorted(facts.undone, key=lambda one: (-one.job.priority, one.job.id))
        self.seasonal = any(one.season for one in self.jobs)
        self._work(numbers)
        self._chains()
        self.hands = [self.hand(usual.person) for usual in facts.people]

    def _work(self, numbers: dict[str, int]) -> None:
        sorts: dict[Sort, int] = {}
        self.sort_of = [
            sorts.setdefault(self._sort(one.job, numbers[one.job.kind]), len(sorts))
            for one in self.jobs
        ]
        self.sorts = list(sorts)
        kinds = range(len(self.kinds))
        self.sorts_of = [[n for n, s in enumerate(self.sorts) if s.kind == k] for k in kinds]
        self.minutes = [one.job.minutes for one in self.jobs]
        stones: dict[str, int] = {}
        self.stone_of = [_stone(one, stones) for one in self.jobs]
        self.jobs_of_stone = [0] * len(stones)
        for stone in self.stone_of:
            if stone >= 0:
                self.jobs_of_stone[stone] += 1

    def _chains(self) -> None:
        place = {one.job.id: n for n, one in enumerate(self.jobs)}
        self.after = [[place[f] for f in one.job.after if f in place] for one in self.jobs]
        self.firsts = [len(before) for before in self.after]
        self.unlocks: list[list[int]] = [[] for _ in self.jobs]
        for n, before in enumerate(self.after):
            for first in before:
                self.unlocks[first].append(n)

    def _sort(self, job: JobFacts, kind: int) -> Sort:
        near = job.section if self.kinds[kind].needs_supervisor else ""
        kit = tuple(sorted(job.kit.items()))
        return Sort(kind, job.min_people, job.max_people, job.lifters, kit, near)

    def hand(self, person: PersonFacts) -> Hand:
        """Somebody, by what crews of each kind of work ask."""
        levels = [person.level(kind.skill) for kind in self.kinds]
        helps = tuple(_helps(person, kind) for kind in self.kinds)
        leads = tuple(may_lead(person, kind) for kind in self.kinds)
        return Hand(
            id=person.id,
            leads=leads,
            helps=helps,
            new=tuple(level == NEW for level in levels),
            able=tuple(level >= SIGNED_OFF for level in levels),
            supervises=tuple(level >= SUPERVISOR for level in levels),
            lifts=person.lift,
            frail=person.light or not person.adult,
            langs=frozenset(person.langs),
            guardian=None if person.adult else person.guardian or "",
            worth=sum(4 ** (len(self.order) - n) * leads[k] for n, k in enumerate(self.order)),
        )


def _stone(one: Undone, stones: dict[str, int]) -> int:
    return stones.setdefault(one.job.stone, len(stones)) if one.job.stone else -1


def _scarcity(kind: KindFacts) -> tuple[bool, bool, int, str]:
    """Work comes first that the fewest people may lead."""
    return (not kind.needs_conservator, not kind.needs_supervisor, -kind.leader_level, kind.id)


def _helps(person: PersonFacts, kind: KindFacts) -> bool:
    kept_out = (
        not person.waiver
        or kind.id in person.barred
        or person.level(kind.skill) < kind.helper_level
        or (not person.adult and (kind.adults_only or kind.lifts))
    )
    return not kept_out and not (person.light and kind.lifts)


def may_lead(person: PersonFacts, kind: KindFacts) -> bool:
    """Return whether somebody may lead a crew at some work, by the hard rules of a plan."""
    fit = person.adult and person.leads and person.level(kind.skill) >= kind.leader_level
    return fit and (person.conservator or not kind.needs_conservator) and _helps(person, kind)


def came_together(hands: Iterable[Hand]) -> list[Hand]:
    """Return who can work today: adults, each with the minors who came with them.

    A minor without the guardian is not there.
    """
    there = list(hands)
    adults = {hand.id: hand for hand in there if hand.guardian is None}
    for hand in adults.values():
        if hand.wards:
            hand.wards = []
    for hand in there:
        if hand.guardian in adults:
            adults[hand.guardian].wards.append(hand)
    return list(adults.values())
