"""Who could be in which crew, and how people count in it; nothing here depends on prices.

A mode says what a crew is for: sorts of work, and from when to when all of it is there. People
come in groups (parties, minors with guardians), of which a crew takes one option each. An option
moves a crew's state: how many people, the balance of new people, how many who lift.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from workdays.planner.column_groups import groups_of
from workdays.planner.column_prices import Floats
from workdays.planner.column_sorts import Sorts
from workdays.planner.index import Ground, ones

MOST_HOURS = 4
HOURS = 10**6


@dataclass(frozen=True, slots=True)
class Mode:
    """What a crew is for: sorts of work as bits, and the stretch in which all are there."""

    sorts: int
    lo: int
    hi: int


@dataclass(frozen=True, slots=True)
class Led:
    """What a leader's crews could be for; per mode and person: may be in it, points for it."""

    modes: tuple[Mode, ...]
    able: NDArray[np.bool_]
    points: Floats


class States:
    """The states of a crew as places in a table: people, balance of new people, lifters.

    A place holds the best crew with exactly so many people, at most that balance and at least
    that many who lift; one place more stands for a state that cannot be.
    """

    def __init__(self, most: int, lifts: int) -> None:
        self.most, self.lifts = most, lifts
        self.shape = (most + 1, 2 * most + 1, lifts + 1)
        self.none = self.shape[0] * self.shape[1] * self.shape[2]

    def before(self, people: int, balance: int, lifters: int) -> NDArray[np.int64]:
        """For each state with an option the state without it."""
        most = self.most
        n, b, k = np.indices(self.shape)
        n, b, k = n - people, np.minimum(b - balance, 2 * most), np.maximum(k - lifters, 0)
        place = (n * self.shape[1] + b) * self.shape[2] + k
        found: NDArray[np.int64] = np.where((n >= 0) & (b >= 0), place, self.none).ravel()
        return found

    def place(self, people: int, lifters: int, *, ruled: bool) -> int:
        """Where a crew of so many with at least so many who lift stands, the ratio kept or not."""
        balance = self.most if ruled else 2 * self.most
        return (people * self.shape[1] + balance) * self.shape[2] + lifters


class BlockCrews:
    """The crews that a block could have."""

    def __init__(self, ground: Ground, sorts: Sorts, b: int, masks: list[int]) -> None:
        self.ground, self.sorts, self.b = ground, sorts, b
        self.block = ground.blocks[b]
        self.groups = groups_of(ground, b)
        self.states = States(ground.most, max(sorts.lifts))
        there = ones(self.block.there)
        self.arrivals = _thinned(sorted({self.block.arrive[p] for p in there}))
        self.ends = [-x for x in _thinned(sorted({-self.block.leave[p] for p in there}))]
        self._count_options()
        self._count_sorts(masks)
        self.led: dict[int, Led] = {}
        for leader in ones(self.block.leaders):
            modes = self._modes(leader, masks)
            if modes:
                self.led[leader] = self._led(leader, modes)

    def _count_options(self) -> None:
        """All options of all groups in one list: who, which parties, which step of the state."""
        ground = self.ground
        self.options = [option for group in self.groups for option in group.options]
        parties = [group.parties for group in self.groups for _ in group.options]
        self.people = np.zeros((len(self.options), len(ground.people)))
        self.touches = np.zeros((len(self.options), max(1, ground.parties)))
        self.steps = []
        steps: dict[tuple[int, int, int], NDArray[np.int64]] = {}
        for i, option in enumerate(self.options):
            self.people[i, ones(option)] = 1
            touched = {ground.party[p] for p in ones(option)} & set(parties[i])
            self.touches[i, sorted(touched)] = 1
            count = self._count(option)
            if count not in steps:
                steps[count] = self.states.before(*count)
            self.steps.append(steps[count])

    def _count(self, option: int) -> tuple[int, int, int]:
        """How many come, how they change the balance of new people, how many lift."""
        balance = 0
        if self.sorts.ratio >= 0:
            sort = self.sorts.sorts[self.sorts.ratio]
            balance = (option & sort.new).bit_count()
            balance -= min(sort.ratio, self.states.most) * (option & sort.competent).bit_count()
        return option.bit_count(), balance, (option & self.ground.lifting).bit_count()

    def _modes(self, leader: int, masks: list[int]) -> list[Mode]:
        arrive, leave = self._told_apart(leader)
        stretches = [
            (lo, hi) for lo in self.arrivals for hi in self.ends if arrive <= lo <= hi <= leave
        ]
        sorts = self.sorts.sorts
        return [
            Mode(mask, lo, hi)
            for mask in masks
            if all(sorts[s].lead >> leader & 1 for s in ones(mask)) and self.supervisors(mask)
            for lo, hi in stretches
        ]

    def _told_apart(self, p: int) -> tuple[int, int]:
        """Somebody's presence, widened to hours that are told apart."""
        arrive, leave = self.block.arrive[p], self.block.leave[p]
        return (
            max(hour for hour in self.arrivals if hour <= arrive),
            min(hour for hour in self.ends if hour >= leave),
        )

    def supervisors(self, mask: int) -> list[int]:
        """Who could supervise work of these sorts; [-1] where nobody is needed."""
        needed = [self.sorts.sorts[s].masters for s in ones(mask) if self.sorts.sorts[s].supervised]
        able = self.block.leaders
        for masters in needed:
            able &= masters
        return ones(able) if needed else [-1]

    def _led(self, leader: int, modes: list[Mode]) -> Led:
        mates = self._flags((self.block.mates[leader] | 1 << leader) & self.block.there)
        arrive, leave = self._presence
        able = np.array(
            [
                mates & self._fit[mode.sorts] & (arrive <= mode.lo) & (mode.hi <= leave)
                for mode in modes
            ]
        )
        points = np.array([self._lessons[mode.sorts] for mode in modes], dtype=float)
        for who, worth in self.block.wanted.get(leader, ()):
            points[:, ones(who)] += worth
        return Led(tuple(modes), able, points)

    def _flags(self, mask: int) -> NDArray[np.bool_]:
        return np.array([bool(mask >> p & 1) for p in range(len(self.ground.people))])

    def _count_sorts(self, masks: list[int]) -> None:
        """Per set of sorts: who is fit for all of it, and the points for lessons in it."""
        ground, sorts = self.ground, self.sorts.sorts
        self._fit: dict[int, NDArray[np.bool_]] = {}
        self._lessons: dict[int, Floats] = {}
        for mask in masks:
            fit = self.block.there
            for s in ones(mask):
                fit &= sorts[s].fit
            self._fit[mask] = self._flags(fit)
            learners = 0
            for skill in {sorts[s].skill for s in ones(mask)}:
                learners |= ground.goal[skill]
            self._lessons[mask] = np.where(self._flags(learners), ground.weights.training, 0.0)

    @cached_property
    def _presence(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """When each person arrives and leaves; somebody who is not there does neither."""
        found = np.array([[HOURS, -HOURS]] * len(self.ground.people))
        for p in ones(self.block.there):
            found[p] = self._told_apart(p)
        return found[:, 0], found[:, 1]

    def below(self, mask: int) -> list[int]:
        """People who count as trainees in work of these sorts."""
        found = 0
        for s in ones(mask):
            if self.sorts.sorts[s].supervised:
                found |= self.sorts.sorts[s].below
        return ones(found)

    def ruled(self, mask: int) -> bool:
        """Whether the ratio of new people counts in work of these sorts."""
        if self.sorts.ratio < 0:
            return False
        rule = self.sorts.sorts[self.sorts.ratio]
        same = (rule.new, rule.competent, rule.ratio)
        here = (self.sorts.sorts[s] for s in ones(mask))
        return any((sort.new, sort.competent, sort.ratio) == same for sort in here)


def _thinned(hours: list[int]) -> list[int]:
    """A few of the hours, always with the first."""
    if len(hours) <= MOST_HOURS:
        return hours
    return [hours[i * len(hours) // MOST_HOURS] for i in range(MOST_HOURS)]
