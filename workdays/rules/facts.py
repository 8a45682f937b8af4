"""The facts of one day as the planner and the checker see them, and the shape of a plan.

Plain frozen dataclasses, no database behind them. Times are whole quarter hours counted from
the start of the day (`day_start_minutes` says which minute of the day is 0); an end is exclusive.
Levels of a skill: 0 new, 1 taught or practised, 2 signed off, 3 supervisor.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

NEW, TAUGHT, SIGNED_OFF, SUPERVISOR = 0, 1, 2, 3


class Interval(NamedTuple):
    """A stretch of quarter hours; `end` is exclusive."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class BlockFacts:
    """A stretch of work between breaks."""

    name: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class SectionFacts:
    """A part of the cemetery; its place in metres east and north of the origin."""

    id: str
    x: float = 0
    y: float = 0
    label: str = ""


@dataclass(frozen=True, slots=True)
class KindFacts:
    """A kind of work as flags; every rule is written over these, never over a name.

    `new_per_competent`: most new people for each signed-off person in the crew; None: no limit.
    `lifts` also keeps people on light work out. `touches`, `wets` and `digs` decide elsewhere
    (triage, weather, notice before digging) whether a job is ready; here they are only carried.
    """

    id: str
    skill: str
    label: str = ""
    leader_level: int = NEW
    helper_level: int = NEW
    new_per_competent: int | None = None
    needs_supervisor: bool = False
    needs_conservator: bool = False
    adults_only: bool = False
    lifts: bool = False
    touches: bool = False
    wets: bool = False
    digs: bool = False


@dataclass(frozen=True, slots=True)
class PersonFacts:
    """One person who signed up, as far as a plan must know.

    `leave` is exclusive; `arrive >= leave`: not there. `langs` empty: any language.
    `light`: light work only. `barred`: ids of kinds of work this person may not do. `enough`: ids
    of kinds that this person has done more of this season than is fair.
    `waiver`: a valid waiver (a guardian's for a minor) is on file for this day.
    """

    id: str
    arrive: int
    leave: int
    levels: Mapping[str, int] = field(default_factory=dict)
    name: str = ""
    adult: bool = True
    guardian: str | None = None
    lift: bool = True
    light: bool = False
    leads: bool = False
    conservator: bool = False
    waiver: bool = True
    langs: tuple[str, ...] = ()
    party: str | None = None
    goal: str | None = None
    barred: tuple[str, ...] = ()
    enough: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """The name in sentences."""
        return self.name or self.id

    def level(self, skill: str) -> int:
        """The level in a skill; a skill never heard of is new."""
        return self.levels.get(skill, NEW)

    def slots_in(self, block: BlockFacts) -> int:
        """Quarter hours of presence inside a block; none without a waiver."""
        if not self.waiver:
            return 0
        return max(0, min(self.leave, block.end) - max(self.arrive, block.start))


@dataclass(frozen=True, slots=True)
class JobFacts:
    """One job that could be done today.

    `minutes`: work left, in person-minutes. `windows`: hours in which it may be done; the whole
    job lies inside one of them. `blocked`: a sentence that says why no plan may hold the job.
    """

    id: str
    kind: str
    section: str
    minutes: int
    priority: int
    min_people: int = 1
    max_people: int = 6
    windows: tuple[Interval, ...] = ()
    kit: Mapping[str, int] = field(default_factory=dict)
    lifters: int = 0
    after: tuple[str, ...] = ()
    stone: str = ""
    x: float = 0
    y: float = 0
    name: str = ""
    blocked: str = ""

    @property
    def label(self) -> str:
        """The name in sentences."""
        return self.name or self.id


@dataclass(frozen=True, slots=True)
class Ratios:
    """Limits of the day that are settings of the cemetery."""

    min_crew: int = 1
    max_crew: int = 6
    crews_per_supervisor: int = 2
    trainees_per_supervisor: int = 4
    minors_follow: bool = False


@dataclass(frozen=True, slots=True)
class Weights:
    """Points of each aim; all are counts of points, given or taken away."""

    training: int = 15
    split: int = 8
    section: int = 4
    change: int = 5
    idle: int = 1
    moved: int = 6
    dropped: int = 5
    together: int = 0
    fairness: int = 0
    walk: int = 0


@dataclass(frozen=True, slots=True)
class PersonPin:
    """A person is in the crew of `leader` in a block; None: in no crew of that block."""

    person: str
    block: int
    leader: str | None


@dataclass(frozen=True, slots=True)
class JobPin:
    """A job is done by the crew of `leader` in a block."""

    job: str
    block: int
    leader: str


@dataclass(frozen=True, slots=True)
class PlannedJob:
    """A job in a crew's block, from start to end."""

    job: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Crew:
    """People who work together in one block; `members` holds the leader.

    `supervisor` is named only where the crew does work that needs one.
    """

    block: int
    leader: str
    members: tuple[str, ...]
    jobs: tuple[PlannedJob, ...] = ()
    supervisor: str | None = None


@dataclass(frozen=True, slots=True)
class Plan:
    """All crews of one day."""

    crews: tuple[Crew, ...] = ()


@dataclass(frozen=True)
class DayFacts:
    """Everything that decides whether a plan of one day is right, and what it is worth.

    `before` is the plan already published, None where there is none. `now`: the quarter hour at
    which a new plan begins; jobs begun earlier stay. `max_moved`: most people whose placement
    may change against `before`, not counting people whose leader is gone; None: any number.
    `locked`: crews by block and leader that have nobody and nothing beside what is pinned to them.
    `apart`: pairs never in one crew. `together`: pairs worth points in one crew. `labels`: what
    equipment and skills are called in sentences, by their ids.
    """

    blocks: tuple[BlockFacts, ...]
    people: tuple[PersonFacts, ...] = ()
    jobs: tuple[JobFacts, ...] = ()
    kinds: tuple[KindFacts, ...] = ()
    sections: tuple[SectionFacts, ...] = ()
    kit: Mapping[str, int] = field(default_factory=dict)
    ratios: Ratios = Ratios()
    weights: Weights = Weights()
    name: str = ""
    slot_minutes: int = 15
    day_start_minutes: int = 540
    pins: tuple[PersonPin, ...] = ()
    job_pins: tuple[JobPin, ...] = ()
    locked: tuple[tuple[int, str], ...] = ()
    apart: tuple[tuple[str, str], ...] = ()
    together: tuple[tuple[str, str], ...] = ()
    before: Plan | None = None
    now: int | None = None
    max_moved: int | None = None
    labels: Mapping[str, str] = field(default_factory=dict)

    @cached_property
    def person(self) -> dict[str, PersonFacts]:
        """People by id."""
        return {person.id: person for person in self.people}

    @cached_property
    def job(self) -> dict[str, JobFacts]:
        """Jobs by id."""
        return {job.id: job for job in self.jobs}

    @cached_property
    def kind(self) -> dict[str, KindFacts]:
        """Kinds of work by id."""
        return {kind.id: kind for kind in self.kinds}

    @cached_property
    def section(self) -> dict[str, SectionFacts]:
        """Sections by id."""
        return {section.id: section for section in self.sections}

    def kind_of(self, job_id: str) -> KindFacts:
        """The kind of work of a job."""
        return self.kind[self.job[job_id].kind]

    def lasts(self, job_id: str, people: int) -> int:
        """Quarter hours that a job takes with so many people; people > 0."""
        return -(-self.job[job_id].minutes // (self.slot_minutes * people))

    def clock(self, slot: int) -> str:
        """A quarter hour as people read it, such as 11:15."""
        hours, minutes = divmod(self.day_start_minutes + slot * self.slot_minutes, 60)
        return f"{hours % 24:02d}:{minutes:02d}"


@dataclass(frozen=True, slots=True)
class Value:
    """What a plan is worth, term by term, in points; terms taken away are negative."""

    priority: int = 0
    training: int = 0
    split: int = 0
    section: int = 0
    change: int = 0
    idle: int = 0
    moved: int = 0
    dropped: int = 0
    together: int = 0
    fairness: int = 0
    walk: int = 0

    @property
    def total(self) -> int:
        """The sum of all terms."""
        gains = self.priority + self.training + self.together
        losses = self.split + self.section + self.change + self.idle + self.moved + self.dropped
        return gains + losses + self.fairness + self.walk


@dataclass(frozen=True, slots=True)
class Violation:
    """A hard rule that a plan breaks: the rule's name, whom and what it is about, a sentence."""

    rule: str
    about: tuple[str, ...]
    sentence: str
