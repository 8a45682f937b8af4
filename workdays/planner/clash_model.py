"""Whether pins can hold together: the crews that pins name, as one small model for CP-SAT.

The rules of these crews are asked in full: people, languages, guardians, pairs, levels, lifters,
ratios, hours, equipment, supervision between them. What lies outside them is taken to be
possible: a supervisor who leads a crew that no pin names, and jobs that come first and are pinned
nowhere. So pins that the model calls a clash are one, whatever else the day holds.
"""

from collections import Counter, defaultdict
from collections.abc import Callable
from itertools import combinations

from ortools.sat.python import cp_model

from workdays.planner.room import is_master, may_help, may_lead, speak
from workdays.rules.facts import NEW, SIGNED_OFF, DayFacts, JobFacts, JobPin, PersonFacts, PersonPin

total = cp_model.LinearExpr.sum
Pin = PersonPin | JobPin
Key = tuple[int, str]


class Impossible(Exception):  # noqa: N818  # an answer, not a fault
    """The pins break a rule without any search."""


class PinnedCrews:
    """The model of the crews that pins name; `can_be` answers."""

    def __init__(self, facts: DayFacts, pins: tuple[Pin, ...]) -> None:
        self.facts = facts
        self.cp = cp_model.CpModel()
        self.people = [pin for pin in pins if isinstance(pin, PersonPin)]
        self.work: dict[Key, list[JobFacts]] = {}
        for pin in pins:
            if isinstance(pin, JobPin):
                self.work.setdefault((pin.block, pin.leader), []).append(facts.job[pin.job])
            elif pin.leader is not None:
                self.work.setdefault((pin.block, pin.leader), [])
        self.inside: dict[Key, dict[str, cp_model.IntVar]] = {}
        self.size: dict[Key, dict[int, cp_model.IntVar]] = {}
        self.start: dict[str, tuple[Key, cp_model.IntVar, cp_model.IntVar]] = {}

    def can_be(self) -> bool:
        """Whether crews exist that hold every pin and break no rule among themselves."""
        try:
            self._build()
        except Impossible:
            return False
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = 1
        return solver.solve(self.cp) != cp_model.INFEASIBLE

    def _build(self) -> None:
        for key in self.work:
            self._people(key)
        self._one_crew_each()
        self._pins()
        for key in self.work:
            self._sizes(key)
            self._families(key)
            for job in self.work[key]:
                self._job(key, job)
            self._one_after_another(key)
        self._order()
        self._equipment()
        self._supervision()

    def _people(self, key: Key) -> None:
        block, leader = self.facts.blocks[key[0]], self.facts.person[key[1]]
        if not (leader.leads and leader.adult and leader.slots_in(block)):
            raise Impossible
        self.inside[key] = {
            person.id: self.cp.new_bool_var("")
            for person in self.facts.people
            if person.slots_in(block) and speak(person, leader)
        }
        self.cp.add(self.inside[key][leader.id] == 1)
        for one, other in self.facts.apart:
            self.cp.add(total([self._in(key, one), self._in(key, other)]) <= 1)

    def _in(self, key: Key, person: str) -> cp_model.LinearExprT:
        return self.inside[key].get(person, 0)

    def _one_crew_each(self) -> None:
        for b in {key[0] for key in self.work}:
            crews = [self.inside[key] for key in self.work if key[0] == b]
            for person in self.facts.people:
                here = [crew[person.id] for crew in crews if person.id in crew]
                self.cp.add_at_most_one(here)

    def _pins(self) -> None:
        for pin in self.people:
            for key, inside in self.inside.items():
                if key[0] == pin.block and pin.person in inside:
                    self.cp.add(inside[pin.person] == (key[1] == pin.leader))
            if pin.leader and pin.person not in self.inside[pin.block, pin.leader]:
                raise Impossible

    def _sizes(self, key: Key) -> None:
        ratios, inside = self.facts.ratios, self.inside[key]
        most = min(ratios.max_crew, len(inside))
        sizes = {n: self.cp.new_bool_var("") for n in range(max(1, ratios.min_crew), most + 1)}
        if not sizes:
            raise Impossible
        self.size[key] = sizes
        self.cp.add_exactly_one(sizes.values())
        self.cp.add(sum(inside.values()) == sum(n * flag for n, flag in sizes.items()))

    def _families(self, key: Key) -> None:
        facts, inside, block = self.facts, self.inside[key], self.facts.blocks[key[0]]
        for minor in facts.people:
            if minor.adult:
                continue
            guardian = minor.guardian if minor.guardian in facts.person else None
            if minor.id in inside:
                self.cp.add(inside[minor.id] <= (self._in(key, guardian) if guardian else 0))
            if facts.ratios.minors_follow and guardian and minor.slots_in(block):
                self.cp.add(self._in(key, guardian) <= self._in(key, minor.id))

    def _job(self, key: Key, job: JobFacts) -> None:
        kind, inside = self.facts.kind_of(job.id), self.inside[key]
        if (
            job.blocked
            or job.id in self.start
            or not may_lead(self.facts.person[key[1]], job, kind)
        ):
            raise Impossible
        for person, flag in inside.items():
            if not may_help(self.facts.person[person], job, kind):
                self.cp.add(flag == 0)
        for n, flag in self.size[key].items():
            if not job.min_people <= n <= job.max_people:
                self.cp.add(flag == 0)
        self.cp.add(self._count(key, lambda p: p.lift) >= job.lifters)
        if kind.new_per_competent is not None:
            signed = self._count(key, lambda p: p.level(kind.skill) >= SIGNED_OFF)
            new = self._count(key, lambda p: p.level(kind.skill) == NEW)
            self.cp.add(new <= kind.new_per_competent * signed)
        self._hours(key, job)

    def _count(self, key: Key, which: Callable[[PersonFacts], bool]) -> cp_model.LinearExprT:
        flags = self.inside[key].items()
        return total([flag for person, flag in flags if which(self.facts.person[person])])

    def _hours(self, key: Key, job: JobFacts) -> None:
        cp, block = self.cp, self.facts.blocks[key[0]]
        start = cp.new_int_var(block.start, block.end, "")
        end = cp.new_int_var(block.start, block.end, "")
        sizes = self.size[key].items()
        cp.add(end == start + sum(self.facts.lasts(job.id, n) * flag for n, flag in sizes))
        windows = [cp.new_bool_var("") for _ in job.windows]
        for window, flag in zip(job.windows, windows, strict=True):
            cp.add(start >= window.start).only_enforce_if(flag)
            cp.add(end <= window.end).only_enforce_if(flag)
        cp.add_at_least_one(windows) if windows else self._never()
        for person, flag in self.inside[key].items():
            there = self.facts.person[person]
            cp.add(start >= there.arrive).only_enforce_if(flag)
            cp.add(end <= there.leave).only_enforce_if(flag)
        self.start[job.id] = (key, start, end)

    def _never(self) -> None:
        raise Impossible

    def _one_after_another(self, key: Key) -> None:
        for one, other in combinations(self.work[key], 2):
            first = self.cp.new_bool_var("")
            (_, a, a_end), (_, b, b_end) = self.start[one.id], self.start[other.id]
            self.cp.add(a_end <= b).only_enforce_if(first)
            self.cp.add(b_end <= a).only_enforce_if(first.negated())

    def _order(self) -> None:
        for key, jobs in self.work.items():
            for job in jobs:
                for first in job.after:
                    self._before(key, first, job)

    def _before(self, key: Key, first: str, job: JobFacts) -> None:
        """What comes first is done in an earlier block, or earlier in the same crew."""
        known = self.facts.job.get(first)
        if known is None or known.blocked or first == job.id:
            raise Impossible
        if first not in self.start:
            return
        where, _, end = self.start[first]
        if where == key:
            self.cp.add(end <= self.start[job.id][1])
        elif where[0] >= key[0]:
            raise Impossible

    def _equipment(self) -> None:
        held: dict[int, Counter[str]] = defaultdict(Counter)
        for key, jobs in self.work.items():
            most: Counter[str] = Counter()
            for job in jobs:
                most |= Counter(job.kit)
            held[key[0]] += most
        for kit in held.values():
            if any(count > self.facts.kit.get(item, 0) for item, count in kit.items()):
                raise Impossible

    def _supervision(self) -> None:
        load: dict[Key, list[cp_model.IntVar]] = defaultdict(list)
        below: dict[Key, list[cp_model.IntVar]] = defaultdict(list)
        for key, jobs in self.work.items():
            watched = [job for job in jobs if self.facts.kind_of(job.id).needs_supervisor]
            if not watched:
                continue
            under = self._under(key, watched)
            self.cp.add_exactly_one(under.values()) if under else self._never()
            for master, flag in under.items():
                load[key[0], master].append(flag)
                below[key[0], master].append(self._learners(key, watched, flag))
        for at, flags in load.items():
            self.cp.add(sum(flags) <= self.facts.ratios.crews_per_supervisor)
            self.cp.add(sum(below[at]) <= self.facts.ratios.trainees_per_supervisor)

    def _under(self, key: Key, jobs: list[JobFacts]) -> dict[str, cp_model.IntVar]:
        """Who could supervise a crew: its leader, or somebody who leads another of the block."""
        found = {}
        for master in self.facts.people:
            kinds = [self.facts.kind_of(job.id) for job in jobs]
            if not all(is_master(master, kind) for kind in kinds):
                continue
            if not master.slots_in(self.facts.blocks[key[0]]):
                continue
            flag = found[master.id] = self.cp.new_bool_var("")
            for other in self.work:
                if other[0] == key[0] and other[1] != master.id:
                    self.cp.add(total([flag, self._in(other, master.id)]) <= 1)
            for job in jobs:
                self._watched(job, master, flag)
        return found

    def _watched(self, job: JobFacts, master: PersonFacts, flag: cp_model.IntVar) -> None:
        _, start, end = self.start[job.id]
        self.cp.add(start >= master.arrive).only_enforce_if(flag)
        self.cp.add(end <= master.leave).only_enforce_if(flag)

    def _learners(self, key: Key, jobs: list[JobFacts], flag: cp_model.IntVar) -> cp_model.IntVar:
        """The people below signed off under a supervisor in a crew, at least."""
        skills = {self.facts.kind_of(job.id).skill for job in jobs}
        inside = self._count(key, lambda p: any(p.level(s) < SIGNED_OFF for s in skills))
        most = len(self.facts.people)
        count = self.cp.new_int_var(0, most, "")
        self.cp.add(count + most >= total([inside, most * flag]))
        return count
