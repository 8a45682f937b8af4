"""A day indexed by small whole numbers, so that a search can be quick.

People, jobs, sections, equipment and skills are numbered in the order of their ids; sets of
people are the bits of a whole number. Everything here is fixed while a search runs.
"""

from dataclasses import dataclass, field
from functools import cached_property

from workdays.rules.begun import going_on
from workdays.rules.crew_people import still_there
from workdays.rules.crew_points import decimetres
from workdays.rules.facts import SIGNED_OFF, SUPERVISOR, DayFacts, JobFacts, KindFacts, PersonFacts

PIN = 100_000


@dataclass(frozen=True, slots=True)
class JobClass:
    """What jobs of one sort ask of a crew: sets of people as bits, and counts."""

    fit: int
    lead: int
    new: int
    competent: int
    ratio: int
    lifters: int
    fewest: int
    most: int
    skill: int
    supervised: bool
    below: int
    masters: int


@dataclass(slots=True)
class Presence:
    """One block: who is there from when to when, and who may lead or join whom."""

    start: int
    end: int
    there: int
    arrive: list[int]
    leave: list[int]
    leaders: int
    mates: list[int]
    wanted: dict[int, list[tuple[int, int]]] = field(default_factory=dict)


class Ground:
    """The facts of a day, indexed."""

    def __init__(self, facts: DayFacts) -> None:
        self.facts = facts
        self.people = sorted(facts.people, key=lambda p: p.id)
        self.jobs = sorted(facts.jobs, key=lambda j: j.id)
        self.number = {p.id: i for i, p in enumerate(self.people)}
        self.job_number = {j.id: i for i, j in enumerate(self.jobs)}
        self.weights = facts.weights
        self.most = max(1, min(facts.ratios.max_crew, max(1, len(self.people))))
        self.fewest = facts.ratios.min_crew
        self.lifting = bits(p.lift for p in self.people)
        self.kids = self._kids()
        self.guardian = self._guardians()
        self._index_jobs()
        self._index_people()
        self._index_before()
        self.locked = [
            sorted(self.number[key] for at, key in facts.locked if at == b and key in self.number)
            for b in range(len(facts.blocks))
        ]
        self.blocks = [self._presence(b) for b in range(len(facts.blocks))]
        self._index_hours()

    def _kids(self) -> list[int]:
        found = [0] * len(self.people)
        for i, minor in enumerate(self.people):
            guardian = self.number.get(minor.guardian or "")
            if not minor.adult and minor.waiver and guardian is not None:
                found[guardian] |= 1 << i
        return found

    def _guardians(self) -> list[int]:
        """Per person: the guardian of a minor, -1 for an adult, -2 for a minor alone."""
        return [-1 if p.adult else self.number.get(p.guardian or "", -2) for p in self.people]

    def _index_jobs(self) -> None:
        facts, jobs = self.facts, self.jobs
        self.sections = sorted({job.section for job in jobs})
        self.kits = sorted(facts.kit.keys() | {k for job in jobs for k in job.kit})
        self.skills = sorted({kind.skill for kind in facts.kinds})
        section, kit = numbers(self.sections), numbers(self.kits)
        self.section = [section[job.section] for job in jobs]
        self.kit_there = [facts.kit.get(k, 0) for k in self.kits]
        self.kit = [[(kit[k], n) for k, n in sorted(job.kit.items()) if n] for job in jobs]
        before = {t.job for c in facts.before.crews for t in c.jobs} if facts.before else set()
        bonus = self.weights.dropped
        self.place = [(decimetres(job.x), decimetres(job.y)) for job in jobs]
        self.priority = [job.priority + bonus * (job.id in before) for job in jobs]
        self.duration = [
            [0] + [facts.lasts(job.id, n) for n in range(1, self.most + 1)] for job in jobs
        ]
        self.density = [
            (p + 1) * facts.slot_minutes / max(facts.slot_minutes, job.minutes)
            for p, job in zip(self.priority, jobs, strict=True)
        ]
        self.after = [[self.job_number.get(key, -1) for key in job.after] for job in jobs]
        self.later: list[list[int]] = [[] for _ in jobs]
        for j, firsts in enumerate(self.after):
            for first in firsts:
                if first >= 0:
                    self.later[first].append(j)
        self._index_classes()
        self.in_section = [
            [j for j, s in enumerate(self.section) if s == number]
            for number in range(len(self.sections))
        ]

    def _index_classes(self) -> None:
        found: dict[JobClass, int] = {}
        self.job_class = []
        for job in self.jobs:
            kind = self.facts.kind[job.kind]
            self.job_class.append(found.setdefault(self._class(job, kind), len(found)))
        self.classes = list(found)
        self.hopeless = [True] * len(self.jobs)
        self._find_hope()

    def _find_hope(self) -> None:
        """Jobs in a circle of prerequisites, behind one, or behind what is not there: none."""
        ready = [j for j, firsts in enumerate(self.after) if not firsts]
        waits = [len(set(firsts)) for firsts in self.after]
        while ready:
            j = ready.pop()
            if self.jobs[j].blocked:
                continue
            self.hopeless[j] = False
            for later in set(self.later[j]):
                waits[later] -= 1
                if not waits[later]:
                    ready.append(later)

    def _class(self, job: JobFacts, kind: KindFacts) -> JobClass:
        people = self.people
        heavy = kind.lifts or job.lifters > 0
        fit = bits(_may_help(p, kind, heavy) for p in people)
        level = [p.level(kind.skill) for p in people]
        lead = bits(
            lv >= kind.leader_level and (p.conservator or not kind.needs_conservator)
            for lv, p in zip(level, people, strict=True)
        )
        return JobClass(
            fit=fit,
            lead=fit & lead,
            new=bits(lv == 0 for lv in level),
            competent=bits(lv >= SIGNED_OFF for lv in level),
            ratio=-1 if kind.new_per_competent is None else kind.new_per_competent,
            lifters=job.lifters,
            fewest=max(job.min_people, self.fewest, 1),
            most=min(job.max_people, self.most),
            skill=self.skills.index(kind.skill),
            supervised=kind.needs_supervisor,
            below=bits(lv < SIGNED_OFF for lv in level) if kind.needs_supervisor else 0,
            masters=bits(lv >= SUPERVISOR for lv in level),
        )

    def _index_people(self) -> None:
        parties = sorted({p.party for p in self.people if p.party is not None})
        party = numbers(parties)
        self.party = [-1 if p.party is None else party[p.party] for p in self.people]
        self.partners = [bits(q == p and p >= 0 for q in self.party) for p in self.party]
        self.parties = len(parties)
        self.goal = [bits(p.goal == skill for p in self.people) for skill in self.skills]
        self.pairs = [
            (1 << self.number[one]) | (1 << self.number[other])
            for one, other in self.facts.together
        ]
        self.rivals = [0] * len(self.people)
        for one, other in self.facts.apart:
            self.rivals[self.number[one]] |= 1 << self.number[other]
            self.rivals[self.number[other]] |= 1 << self.number[one]

    def _index_before(self) -> None:
        """The published plan: who was with whom, and which jobs have begun under whom."""
        blocks, facts = self.facts.blocks, self.facts
        self.old = [[-1] * len(self.people) for _ in blocks]
        self.begun: dict[int, int] = {}
        self.begun_by: dict[int, tuple[int, int]] = {}
        for crew in facts.before.crews if facts.before else ():
            leader = self._still_there(crew.leader, crew.block)
            if leader < 0:
                continue
            for key in crew.members:
                if (p := self._still_there(key, crew.block)) >= 0:
                    self.old[crew.block][p] = leader
        for key, job in going_on(facts).items():
            j = self.job_number[key]
            self.begun[j], self.begun_by[j] = job.start, (job.block, self.number[job.leader])

    def _still_there(self, key: str, block: int) -> int:
        """The number of somebody of the published plan who is there in a block; -1: is not."""
        return self.number[key] if still_there(self.facts, key, block) else -1

    def _presence(self, b: int) -> Presence:
        block, people = self.facts.blocks[b], self.people
        away = {pin.person for pin in self.facts.pins if pin.block == b and pin.leader is None}
        there = bits(p.slots_in(block) > 0 and p.id not in away for p in people)
        found = Presence(
            start=block.start,
            end=block.end,
            there=there,
            arrive=[max(block.start, p.arrive) for p in people],
            leave=[min(block.end, p.leave) for p in people],
            leaders=there & bits(p.leads and p.adult for p in people),
            mates=[there & ~self.rivals[i] & self._speaks[i] for i in range(len(people))],
        )
        self._pin(found, b)
        return found

    @cached_property
    def _speaks(self) -> list[int]:
        """Per person: those who share a language."""
        langs = [set(p.langs) for p in self.people]
        known: dict[frozenset[str], int] = {}
        for mine in langs:
            key = frozenset(mine)
            if key not in known:
                known[key] = bits(not key or not other or bool(key & other) for other in langs)
        return [known[frozenset(mine)] for mine in langs]

    def _pin(self, found: Presence, b: int) -> None:
        """Keep pinned people for their leader, and make each pin worth it; nobody joins a lock."""
        for pin in self.facts.pins:
            if pin.block == b and pin.leader is not None:
                who, leader = self.number[pin.person], self.number[pin.leader]
                for i in range(len(self.people)):
                    if i != leader:
                        found.mates[i] &= ~(1 << who)
                if who != leader:
                    found.leaders &= ~(1 << who)
                found.wanted.setdefault(leader, []).append((1 << who, PIN))
        for leader in self.locked[b]:
            found.mates[leader] &= sum(who for who, _ in found.wanted.get(leader, ()))
        self._want_as_before(found, b)

    def _want_as_before(self, found: Presence, b: int) -> None:
        for crew in self.facts.before.crews if self.facts.before else ():
            leader = self.number.get(crew.leader, -1)
            if crew.block == b and leader >= 0:
                old = sum(1 << self.number[m] for m in set(crew.members) if m in self.number)
                found.wanted.setdefault(leader, []).append((old, self.weights.moved))

    def _index_hours(self) -> None:
        """Per block and job: the stretches it may lie in, and whether that is all the block."""
        pinned = {pin.job: (pin.block, pin.leader) for pin in self.facts.job_pins}
        self.pinned = {
            self.job_number[key]: (b, self.number[leader]) for key, (b, leader) in pinned.items()
        }
        self.pinned |= self.begun_by
        self.spans: list[list[list[tuple[int, int]]]] = []
        self.open: list[list[bool]] = []
        for b, block in enumerate(self.blocks):
            spans = [self._spans(j, b, block) for j in range(len(self.jobs))]
            self.spans.append(spans)
            self.open.append([found == [(block.start, block.end)] for found in spans])
        for j in self.pinned:
            self.priority[j] += PIN

    def _spans(self, j: int, b: int, block: Presence) -> list[tuple[int, int]]:
        if self.hopeless[j] or (j in self.pinned and self.pinned[j][0] != b):
            return []
        begin = block.start if self.facts.now is None else max(block.start, self.facts.now)
        if j in self.begun:
            begin = self.begun[j]
        clipped = ((max(w.start, begin), min(w.end, block.end)) for w in self.jobs[j].windows)
        return sorted({(start, end) for start, end in clipped if start <= end})


def _may_help(person: PersonFacts, kind: KindFacts, heavy: bool) -> bool:
    if person.level(kind.skill) < kind.helper_level or kind.id in person.barred:
        return False
    if person.light and heavy:
        return False
    return person.adult or not (heavy or kind.adults_only)


def bits(flags: "object") -> int:
    """A whole number whose bit i says whether the i-th flag is set."""
    text = "".join("1" if flag else "0" for flag in flags)  # type: ignore[attr-defined]  # any iterable of flags
    return int(text[::-1], 2) if text else 0


def ones(mask: int) -> list[int]:
    """The places of the set bits, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def numbers(keys: list[str]) -> dict[str, int]:
    """Each key with its place."""
    return {key: i for i, key in enumerate(keys)}
