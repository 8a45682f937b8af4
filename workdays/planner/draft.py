"""One crew being made: who is in it, and which jobs it takes one after another."""

from workdays.planner.index import Ground, JobClass
from workdays.planner.state import State, Team


class Draft:
    """A crew of fixed people to which jobs are added; `add` refuses what a rule forbids."""

    __slots__ = (
        "allowed", "b", "below", "hi", "jobs", "kit", "leader", "lo", "mask", "people",
        "plain", "room", "sections", "size", "skills", "starts", "state", "supervisor",
    )  # fmt: skip

    def __init__(self, state: State, b: int, leader: int, people: list[int]) -> None:
        block = state.ground.blocks[b]
        self.state, self.b, self.leader, self.people = state, b, leader, people
        self.mask = 0
        self.lo, self.hi = block.arrive[leader], block.leave[leader]
        for p in people:
            self.mask |= 1 << p
            self.lo = max(self.lo, block.arrive[p])
            self.hi = min(self.hi, block.leave[p])
        self.size = len(people)
        self.room = self.hi - self.lo
        self.jobs: list[int] = []
        self.starts: list[int] = []
        self.plain = True
        self.sections = self.skills = self.below = 0
        self.supervisor = -1
        self.kit: dict[int, int] = {}
        self.allowed: dict[int, bool] = {}

    def allows(self, c: int) -> bool:
        """Whether these people may do jobs of a class, hours and equipment aside."""
        found = self.allowed.get(c)
        if found is None:
            found = self.allowed[c] = self._may(self.state.ground.classes[c])
        return found

    def _may(self, asked: JobClass) -> bool:
        mask = self.mask
        if mask & ~asked.fit or not asked.lead >> self.leader & 1:
            return False
        if not asked.fewest <= self.size <= asked.most:
            return False
        if asked.lifters and (mask & self.state.ground.lifting).bit_count() < asked.lifters:
            return False
        if asked.ratio < 0:
            return True
        competent = (mask & asked.competent).bit_count()
        return (mask & asked.new).bit_count() <= asked.ratio * competent

    def add(self, j: int) -> bool:
        """Add a job at the end, or where its hours allow; False: it does not fit."""
        state, ground = self.state, self.state.ground
        lasts = ground.duration[j][self.size]
        if lasts > self.room or state.done[j] is not None or j in self.jobs:
            return False
        if not self.allows(ground.job_class[j]):
            return False
        if ground.kit[j] and not self._has_kit(ground.kit[j]):
            return False
        if ground.after[j] and not self._is_ready(ground.after[j]):
            return False
        if j in ground.pinned and ground.pinned[j][1] != self.leader:
            return False
        return self._supervised_and_timed(j, lasts)

    def _supervised_and_timed(self, j: int, lasts: int) -> bool:
        ground = self.state.ground
        asked = ground.classes[ground.job_class[j]]
        if not asked.supervised:
            if not self._timed(j, lasts):
                return False
        elif not self._supervised(j, lasts, asked):
            return False
        self._take(j, lasts, asked)
        return True

    def _supervised(self, j: int, lasts: int, asked: JobClass) -> bool:
        """Put a job in for which a supervisor is near and there; False: nobody is."""
        before, self.supervisor = self.supervisor, self._supervisor_for(j, asked)
        if self.supervisor >= 0 and self._timed(j, lasts):
            self.below |= asked.below
            return True
        self.supervisor = before
        return False

    def _take(self, j: int, lasts: int, asked: JobClass) -> None:
        ground = self.state.ground
        self.room -= lasts
        self.sections |= 1 << ground.section[j]
        self.skills |= 1 << asked.skill
        for kit, count in ground.kit[j]:
            if count > self.kit.get(kit, 0):
                self.kit[kit] = count

    def _has_kit(self, asked: list[tuple[int, int]]) -> bool:
        left = self.state.kit_left[self.b]
        return all(count <= left[kit] for kit, count in asked)

    def _is_ready(self, firsts: list[int]) -> bool:
        for first in firsts:
            team = self.state.done[first]
            if first not in self.jobs and (team is None or team.b >= self.b):
                return False
        return True

    def _timed(self, j: int, lasts: int) -> bool:
        """Put the job in where there is time for it; keeps `starts` where hours matter."""
        now = self.hi - self.room
        if self.plain and (self._is_open(j) or lies_in(self.hours(j), now, lasts)):
            self.jobs.append(j)
            return True
        found = schedule(self, [*self.jobs, j])
        if found is None:
            return False
        self.plain = False
        self.jobs, self.starts = found
        return True

    def _is_open(self, j: int) -> bool:
        if not self.state.ground.open[self.b][j]:
            return False
        lo, hi = self.hours(j)[0]
        return lo <= self.lo and hi >= self.hi

    def hours(self, j: int) -> list[tuple[int, int]]:
        """The stretches in which the job may lie: its own, while its supervisor is there."""
        ground, supervisor = self.state.ground, self.supervisor
        spans = ground.spans[self.b][j]
        if supervisor in (-1, self.leader) or not ground.classes[ground.job_class[j]].supervised:
            return spans
        block = ground.blocks[self.b]
        come, go = block.arrive[supervisor], block.leave[supervisor]
        if come <= self.lo and go >= self.hi:
            return spans
        return [(max(lo, come), min(hi, go)) for lo, hi in spans]

    def _supervisor_for(self, j: int, asked: JobClass) -> int:
        """Who supervises once this job is in; -1: nobody can."""
        if self.supervisor >= 0:
            return self.supervisor if self._can(self.supervisor, j, asked) else -1
        if asked.masters >> self.leader & 1:
            return self.leader if self._can(self.leader, j, asked) else -1
        for other in self.state.team[self.b]:
            if self._can(other, j, asked):
                return other
        return -1

    def _can(self, supervisor: int, j: int, asked: JobClass) -> bool:
        state, b = self.state, self.b
        if not asked.masters >> supervisor & 1:
            return False
        ratios = state.ground.facts.ratios
        if state.supervises[b][supervisor] >= ratios.crews_per_supervisor:
            return False
        trainees = (self.mask & (self.below | asked.below)).bit_count()
        if state.trains[b][supervisor] + trainees > ratios.trainees_per_supervisor:
            return False
        return supervisor == self.leader or self._near(supervisor, j)

    def _near(self, supervisor: int, j: int) -> bool:
        sections = self.state.team[self.b][supervisor].sections
        return bool(sections >> self.state.ground.section[j] & 1)

    def team(self) -> Team:
        """The finished team with its points, those for changes and splits aside."""
        ground, size = self.state.ground, self.size
        starts = self.starts if not self.plain else self._one_after_another()
        return Team(
            b=self.b,
            leader=self.leader,
            mask=self.mask,
            people=self.people,
            jobs=self.jobs,
            starts=starts,
            sections=self.sections,
            supervisor=self.supervisor,
            trainees=(self.mask & self.below).bit_count(),
            kit=self.kit,
            gain=points(ground, self, size),
        )

    def _one_after_another(self) -> list[int]:
        starts, now = [], self.lo
        for j in self.jobs:
            starts.append(now)
            now += self.state.ground.duration[j][self.size]
        return starts


def points(ground: Ground, draft: Draft, size: int) -> int:
    """What a crew is worth by itself: priority, training, work instead of idling, sections."""
    weights = ground.weights
    total = -weights.section * max(0, draft.sections.bit_count() - 1)
    for j in draft.jobs:
        total += ground.priority[j] + weights.idle * size * ground.duration[j][size]
    for skill, goal in enumerate(ground.goal):
        if draft.skills >> skill & 1 and draft.mask & goal:
            total += weights.training * (draft.mask & goal).bit_count()
    for pair in ground.pairs:
        total += weights.together * (draft.mask & pair == pair)
    for wanted, worth in ground.blocks[draft.b].wanted.get(draft.leader, ()):
        total += worth * (draft.mask & wanted).bit_count()
    return total


def schedule(draft: Draft, jobs: list[int]) -> tuple[list[int], list[int]] | None:
    """Order and starts for jobs whose hours matter, earliest deadline first; None: none found."""
    ground, now = draft.state.ground, draft.lo
    spans = {j: draft.hours(j) for j in jobs}
    order = sorted(jobs, key=lambda j: (spans[j][-1][1], spans[j][0][0]) if spans[j] else (0, 0))
    starts = []
    for place, j in enumerate(order):
        if not set(order[place:]).isdisjoint(ground.after[j]):
            return None
        lasts = ground.duration[j][draft.size]
        start = _earliest(spans[j], now, lasts)
        if start < 0 or start + lasts > draft.hi:
            return None
        starts.append(start)
        now = start + lasts
    return order, starts


def _earliest(spans: list[tuple[int, int]], now: int, lasts: int) -> int:
    for lo, hi in spans:
        start = max(lo, now)
        if start + lasts <= hi:
            return start
    return -1


def lies_in(spans: list[tuple[int, int]], start: int, lasts: int) -> bool:
    """Whether one of the stretches holds the job if it starts then."""
    return any(lo <= start and start + lasts <= hi for lo, hi in spans)
