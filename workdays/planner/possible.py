"""Whether a job could be done at all, and if not, which condition is the first that forbids it.

The conditions are asked in a fixed order, each with all before it. So the condition that is named
blocks by itself: with those before it a crew could be made, with this one no more.
"""

from collections.abc import Iterator
from enum import IntEnum
from typing import NamedTuple

from workdays.planner.room import Room, is_master, learners, may_help, may_lead, speak, there
from workdays.planner.teams import Wanted, team
from workdays.rules.facts import BlockFacts, Crew, DayFacts, JobFacts, PersonFacts, PlannedJob


class Condition(IntEnum):
    """What must hold for a crew at a job, from the most lasting to the most passing."""

    HOURS = 1
    LENGTH = 2
    ORDER = 3
    EQUIPMENT = 4
    LEADER = 5
    LEADER_THERE = 6
    MASTER = 7
    MASTER_THERE = 8
    PEOPLE = 9
    LIFTERS = 10
    LANGUAGE = 11
    NEW_PEOPLE = 12
    FAMILIES = 13
    APART = 14
    LEARNERS = 15
    NEAR = 16
    PINS = 17


LAST = Condition.PINS


class Place(NamedTuple):
    """A block, a number of people, and hours."""

    block: int
    size: int
    start: int
    end: int


class Search:
    """Looks for one crew that does a job; `must` has to be in it, `lead` has to lead it.

    On an open day, where the supervisor is not the leader, the crew that they would lead near by
    is not sought in full: what is found may then not hold, but where nothing is, nothing can be.
    """

    def __init__(
        self,
        facts: DayFacts,
        room: Room,
        job: JobFacts,
        *,
        must: PersonFacts | None = None,
        lead: PersonFacts | None = None,
    ) -> None:
        self.facts, self.room, self.job = facts, room, job
        self.must, self.lead = must, lead
        self.kind = facts.kind_of(job.id)
        self.most = min(job.max_people, facts.ratios.max_crew)
        self.fewest = max(job.min_people, facts.ratios.min_crew, 1)
        able = sum(p.waiver and may_help(p, job, self.kind) for p in facts.people)
        self.largest = max(self.fewest, min(self.most, able))

    def missing(self) -> Condition | None:
        """The first condition that leaves no crew; None: there is one."""
        if self.found(LAST) is not None:
            return None
        return next(condition for condition in Condition if self.found(condition) is None)

    def found(self, upto: Condition = LAST) -> Crew | None:
        """A crew for which every condition up to this one holds; None: there is none."""
        blocks = range(len(self.facts.blocks))
        return next(filter(None, (self.found_in(b, upto) for b in blocks)), None)

    def found_in(self, b: int, upto: Condition) -> Crew | None:
        """The same in one block."""
        if upto >= Condition.ORDER and b <= self.block_before():
            return None
        if upto >= Condition.EQUIPMENT and not self.has_kit(b):
            return None
        for size, start, end in self.times(self.facts.blocks[b], upto):
            crew = self._crew(Place(b, size, start, end), upto)
            if crew is not None:
                return crew
        return None

    def block_before(self) -> int:
        """The last block in which a job is done that must come before; -1: none is."""
        done = {task.job: crew.block for crew in self.room.plan.crews for task in crew.jobs}
        return max((done.get(first, -1) for first in self.job.after), default=-1)

    def has_kit(self, b: int) -> bool:
        """Whether the equipment is left in a block."""
        return all(n <= self.room.kit[b].get(key, 0) for key, n in self.job.kit.items())

    def times(self, block: BlockFacts, upto: Condition = LAST) -> Iterator[tuple[int, int, int]]:
        """Each size with each start that could matter, and the end that follows."""
        anybody = upto < Condition.LEADER_THERE
        for lo, hi in self.stretches(block):
            for size in range(self.fewest, 1 + (self.most if anybody else self.largest)):
                lasts = self.facts.lasts(self.job.id, size) if upto > Condition.HOURS else 0
                arrivals = {p.arrive for p in self.facts.people if lo < p.arrive <= hi - lasts}
                for start in sorted({lo, *arrivals}) if lo + lasts <= hi else ():
                    yield size, start, start + lasts

    def stretches(self, block: BlockFacts) -> Iterator[tuple[int, int]]:
        """The hours of a block in which the job may be done."""
        for window in self.job.windows:
            start = max(block.start, window.start, self.facts.now or 0)
            end = min(block.end, window.end)
            if start < end:
                yield start, end

    def _crew(self, at: Place, upto: Condition) -> Crew | None:
        if upto < Condition.LEADER:
            return Crew(at.block, "", ())
        anyone = upto < Condition.LEADER_THERE
        for leader in self.facts.people if anyone else self.room.people[at.block]:
            if self.lead not in (None, leader) or not leader.waiver:
                continue
            if not may_lead(leader, self.job, self.kind):
                continue
            if not anyone and not there(leader, at.start, at.end):
                continue
            crew = self._led(at, upto, leader)
            if crew is not None:
                return crew
        return None

    def _led(self, at: Place, upto: Condition, leader: PersonFacts) -> Crew | None:
        if not self.kind.needs_supervisor or upto < Condition.MASTER:
            return self._manned(at, upto, leader, None)
        for master in self._masters(at, upto, leader):
            crew = self._manned(at, upto, leader, master)
            if crew is not None:
                return crew
        return None

    def _masters(self, at: Place, upto: Condition, leader: PersonFacts) -> Iterator[PersonFacts]:
        """Who could supervise, the leader first."""
        for master in sorted(self.facts.people, key=lambda p: p != leader):
            if not is_master(master, self.kind):
                continue
            if upto >= Condition.MASTER_THERE and not self._comes(master, at):
                continue
            near = master == leader or upto < Condition.NEAR or self._near(master, at)
            if near and (upto < Condition.LEARNERS or self._spare(master, at.block)[0] > 0):
                yield master

    def _comes(self, master: PersonFacts, at: Place) -> bool:
        """Whether a supervisor is there all the time, and free or at the head of a crew."""
        leads = any(c.leader == master.id for c in self._crews(at.block))
        return there(master, at.start, at.end) and (leads or master in self.room.people[at.block])

    def _crews(self, b: int) -> list[Crew]:
        return [crew for crew in self.room.plan.crews if crew.block == b]

    def _spare(self, master: PersonFacts, b: int) -> tuple[int, int]:
        """How many crews, and people below signed off, a supervisor may still have."""
        under = [crew for crew in self._crews(b) if crew.supervisor == master.id]
        ratios = self.facts.ratios
        taught = sum(len(learners(self.facts, crew)) for crew in under)
        return ratios.crews_per_supervisor - len(under), ratios.trainees_per_supervisor - taught

    def _near(self, master: PersonFacts, at: Place) -> bool:
        """Whether a supervisor leads, or could lead, another crew in the section of the job."""
        own = [crew for crew in self._crews(at.block) if crew.leader == master.id]
        if own or not self.room.open:
            tasks = [task for crew in own for task in crew.jobs]
            return any(self.facts.job[task.job].section == self.job.section for task in tasks)
        return any(
            Search(self.facts, self.room, job, lead=master).found_in(at.block, Condition.APART)
            for job in self.facts.jobs
            if job.section == self.job.section and job.id != self.job.id
            if not job.blocked
        )

    def _manned(
        self, at: Place, upto: Condition, leader: PersonFacts, master: PersonFacts | None
    ) -> Crew | None:
        if upto < Condition.PEOPLE:
            return Crew(at.block, leader.id, ())
        if self.must is not None and not self._fits(self.must, at, leader):
            return None
        must = [leader.id, *([self.must.id] if self.must not in (None, leader) else [])]
        pool = [p for p in self.room.people[at.block] if self._fits(p, at, leader)]
        if upto >= Condition.LANGUAGE:
            pool = [p for p in pool if speak(p, leader)]
        if upto >= Condition.NEAR and master != leader:
            pool = [p for p in pool if p != master]
        if upto >= Condition.PINS:
            pool, must = self._pinned(at.block, leader, pool, must)
        wanted = self._wanted(at, upto, master)
        members = team(self.facts, self.facts.blocks[at.block], wanted, must, pool)
        if members is None:
            return None
        task = PlannedJob(self.job.id, at.start, at.end)
        return Crew(at.block, leader.id, members, (task,), master.id if master else None)

    def _fits(self, person: PersonFacts, at: Place, leader: PersonFacts) -> bool:
        present = there(person, at.start, at.end)
        return present and (person == leader or may_help(person, self.job, self.kind))

    def _wanted(self, at: Place, upto: Condition, master: PersonFacts | None) -> Wanted:
        spare = self._spare(master, at.block)[1] if master else None
        return Wanted(
            skill=self.kind.skill,
            size=at.size,
            lifters=self.job.lifters if upto >= Condition.LIFTERS else 0,
            ratio=self.kind.new_per_competent if upto >= Condition.NEW_PEOPLE else None,
            learners=spare if upto >= Condition.LEARNERS else None,
            families=upto >= Condition.FAMILIES,
            apart=upto >= Condition.APART,
        )

    def _pinned(
        self, b: int, leader: PersonFacts, pool: list[PersonFacts], must: list[str]
    ) -> tuple[list[PersonFacts], list[str]]:
        """Without those who are pinned elsewhere, with those who are pinned to this leader."""
        pins = {pin.person: pin.leader for pin in self.facts.pins if pin.block == b}
        jobs = [pin for pin in self.facts.job_pins if pin.job == self.job.id]
        locked = (b, leader.id) in self.facts.locked
        if (locked and not jobs) or any((pin.block, pin.leader) != (b, leader.id) for pin in jobs):
            return [], must
        mine = [key for key, lead in pins.items() if lead == leader.id and key not in must]
        usual = None if locked else leader.id
        return [p for p in pool if pins.get(p.id, usual) == leader.id], [*must, *mine]
