"""Crews at work: which jobs they do in a day, and what becomes ready by it.

Jobs of a crew are done one after another by all of it, for as long as they take with so many
people, in quarter hours. A crew begins what its estimate says will fit into the stretch of work;
what takes longer is left part done, and any crew goes on with it.
"""

from bisect import insort
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from heapq import heappop, heappush
from math import ceil

from workdays.rules.ahead_crews import Forming, Team, Wanted
from workdays.rules.ahead_facts import SLOT_MINUTES
from workdays.rules.ahead_tables import Hand, Sort, Tables
from workdays.rules.outlook import next_in_season
from workdays.rules.readiness import winter_over_on

SLOTS_AN_HOUR = 4
LOOK_AT = 8  # jobs of one sort that a crew looks at for one that still fits
HOURS_A_DAY = 24

Shift = tuple[Team, list[tuple[int, int, int]]]


@dataclass(slots=True)
class WorkedDay:
    """What became of one day.

    `shifts`: block by block each crew with what it did: job, first quarter hour, end. `short`:
    what got no crew, by kind of work, and why. `idle`: people without work at the start.
    `ready`: some work could have been done with the right people.
    """

    shifts: list[list[Shift]] = field(default_factory=list)
    short: dict[int, str] = field(default_factory=dict)
    idle: int = 0
    ready: bool = False


class Yard:
    """The work as it stands in one try. ``pace``: what each job really takes, as a share."""

    def __init__(self, tables: Tables, pace: Sequence[float] | None = None) -> None:
        self.tables = tables
        self.estimated = list(tables.minutes)
        shares = pace if pace is not None else [1.0] * len(self.estimated)
        pairs = zip(self.estimated, shares, strict=True)
        self.takes = [max(1, round(minutes * share)) for minutes, share in pairs]
        self.firsts = list(tables.firsts)
        self.queues: list[list[int]] = [[] for _ in tables.sorts]
        self.minutes = [0] * len(tables.sorts)
        self.due: list[tuple[date, int]] = []
        self.left = len(self.takes)
        self.of_stone = list(tables.jobs_of_stone)
        self.stones = 0
        self.soon: list[int] = []
        self.in_block: dict[int, Team] = {}
        self.today = date.min
        self.allowed: list[bool] = []
        for job, count in enumerate(self.firsts):
            if not count:
                heappush(self.due, (tables.jobs[job].not_before or date.min, job))

    @property
    def cleared(self) -> bool:
        """Whether all that was asked for is done."""
        asked = self.tables.facts.stones
        return self.left == 0 or (asked is not None and self.stones >= asked)

    def hopeless(self, last: date) -> bool:
        """Whether no day until the last one can do any of the work: leave has run out."""
        if self.due and self.due[0][0] <= last:
            return False
        return not any(self._allowed_after(kind) for kind in self.waiting_kinds())

    def waiting_kinds(self) -> set[int]:
        """Return the kinds of the work that is ready but for leave and people."""
        sorts = self.tables.sorts
        return {sorts[number].kind for number, queue in enumerate(self.queues) if queue}

    def _allowed_after(self, kind: int) -> bool:
        periods = self.tables.facts.leave.get(self.tables.kinds[kind].id)
        return periods is None or any(last > self.today for _, last in periods)

    def day(self, on: date, present: Sequence[Hand]) -> WorkedDay:
        """Work for one day with those who came."""
        self._begin(on)
        worked, blocks = WorkedDay(), self.tables.facts.blocks
        for number, slots in enumerate(blocks):
            forming = Forming(self.tables, present, SLOT_MINUTES * sum(blocks[number:]))
            teams = forming.form(self._wanted())
            if not number:
                self._note(worked, forming)
            if not teams:
                break  # the same people would find as little later in the day
            self._block(teams, forming.kit, slots, sum(blocks[:number]))
            worked.shifts.append([(team, team.done) for team in teams])
        return worked

    def _note(self, worked: WorkedDay, forming: Forming) -> None:
        worked.short = dict(forming.short)
        worked.ready = bool(forming.teams or forming.short)
        for number, queue in enumerate(self.queues):
            kind = self.tables.sorts[number].kind
            if queue and not self.allowed[kind]:
                worked.short[kind] = "leave"
        worked.idle = sum(hand.heads for hand in forming.free)

    def _begin(self, on: date) -> None:
        """Put on the lists what is ready by now, and put away what is out of season."""
        self.today = on
        self.allowed = [self._allowed(kind) for kind in range(len(self.tables.kinds))]
        for sort, queue in enumerate(self.queues if self.tables.seasonal else ()):
            for job in [job for job in queue if not self._in_season(job)]:
                self._drop(sort, job)
                self._later(job, on + timedelta(days=1))
        while self.due and self.due[0][0] <= on:
            job = heappop(self.due)[1]
            if self._in_season(job):
                self._queue(job)
            else:
                self._later(job, on + timedelta(days=1))

    def _in_season(self, job: int) -> bool:
        season = self.tables.jobs[job].season
        return season is None or season.holds(self.today)

    def _later(self, job: int, on: date) -> None:
        """Have a job wait for a date, or for its season after it; one without any never comes."""
        season = self.tables.jobs[job].season
        if season is not None and not season.holds(on):
            opens = next_in_season(season, on)
            if opens is None:
                return
            on = opens
        heappush(self.due, (on, job))

    def _queue(self, job: int) -> None:
        sort = self.tables.sort_of[job]
        insort(self.queues[sort], job)
        self.minutes[sort] += self.estimated[job]

    def _drop(self, sort: int, job: int) -> None:
        self.queues[sort].remove(job)
        self.minutes[sort] -= self.estimated[job]

    def _wanted(self) -> list[Wanted]:
        """Return the ready work by kind, that first which the fewest may lead."""
        tables, found = self.tables, []
        for kind in tables.order:
            sorts = [n for n in tables.sorts_of[kind] if self.queues[n]]
            if sorts and self.allowed[kind]:
                sorts.sort(key=self._urgency)
                minutes = [self.minutes[n] for n in sorts]
                found.append(Wanted(kind, [tables.sorts[n] for n in sorts], minutes))
        return found

    def _urgency(self, number: int) -> int:
        """Return what is taken first: sections with much work for one supervisor, else priority."""
        near = self.tables.sorts[number].section
        return -self.minutes[number] if near else self.queues[number][0]

    def _allowed(self, kind: int) -> bool:
        periods = self.tables.facts.leave.get(self.tables.kinds[kind].id)
        return periods is None or any(first <= self.today <= last for first, last in periods)

    def _block(self, teams: list[Team], kit: dict[str, int], slots: int, begins: int) -> None:
        """Let each crew work for a stretch; what it unlocks for others waits for its end."""
        self.in_block = {}
        ends = [0] * len(teams)
        for own in (True, False):  # nobody takes work from those who were put together for it
            for number, team in enumerate(teams):
                if own:
                    team.done, team.places = [], set()
                elif ends[number] >= slots:
                    continue
                team.sorts = self._may_do(team, own=own)
                ends[number] = self._stretch(team, kit, (ends[number], slots), begins)
        for job in [*self.soon, *(job for team in teams for job in team.local)]:
            self._queue(job)
        self.soon = []
        for team in teams:
            team.local = []

    def _stretch(self, team: Team, kit: dict[str, int], hours: tuple[int, int], begins: int) -> int:
        """Let a crew do one job after another; return when it has no more that fits."""
        at, slots = hours
        while at < slots:
            job = self._next(team, kit, slots - at)
            if job is None:
                break
            at += self._do(team, job, slots - at, begins + at)
        return at

    def _may_do(self, team: Team, *, own: bool) -> list[int]:
        """Return the sorts of its own kind of work that a crew may do, or the others."""
        tables, found = self.tables, []
        for kind in (team.kind,) if own else tables.order:
            if not self.allowed[kind] or (not own and kind == team.kind):
                continue
            ready = [n for n in tables.sorts_of[kind] if self.queues[n]]
            fits = [n for n in ready if self._fits(team, tables.sorts[n])]
            found += sorted(fits, key=self._urgency)
        return found

    def _fits(self, team: Team, sort: Sort) -> bool:
        size, kind = len(team.members), self.tables.kinds[sort.kind]
        if not sort.fewest <= size <= sort.most or team.strong < sort.lifters:
            return False
        if sort.lifters and any(one.frail for one in team.members):
            return False
        if sort.kind == team.kind:
            return True
        if kind.needs_supervisor or not team.leader.leads[sort.kind]:
            return False
        return all(one.helps[sort.kind] for one in team.members) and self._few_new(team, sort.kind)

    def _few_new(self, team: Team, kind: int) -> bool:
        ratio = self.tables.kinds[kind].new_per_competent
        new = sum(one.new[kind] for one in team.members)
        return ratio is None or new <= ratio * sum(one.able[kind] for one in team.members)

    def _next(self, team: Team, kit: dict[str, int], slots: int) -> int | None:
        """Take the first job from the lists that this crew can end in the time left."""
        for job in team.local:
            sort = self.tables.sorts[self.tables.sort_of[job]]
            if self._fits(team, sort) and self._takes(team, job, kit, slots):
                team.local.remove(job)
                return job
        for number in team.sorts:
            for job in self.queues[number][:LOOK_AT]:
                if self._takes(team, job, kit, slots):
                    self._drop(number, job)
                    return job
        return None

    def _takes(self, team: Team, job: int, kit: dict[str, int], slots: int) -> bool:
        """Whether there are time, a supervisor near and equipment for a job; takes the last."""
        sort = self.tables.sorts[self.tables.sort_of[job]]
        if -(-self.estimated[job] // (SLOT_MINUTES * len(team.members))) > slots:
            return False
        if sort.section and team.under not in (None, team) and not self._near(team, sort):
            return False
        more = [(item, count - team.held.get(item, 0)) for item, count in sort.kit]
        if any(count > kit.get(item, 0) for item, count in more if count > 0):
            return False
        for item, count in more:
            if count > 0:
                kit[item] -= count
                team.held[item] = team.held.get(item, 0) + count
        return True

    def _near(self, team: Team, sort: Sort) -> bool:
        """Whether the supervisor's crew works in the same section in this block."""
        return team.under is not None and sort.section in team.under.places

    def _do(self, team: Team, job: int, slots: int, at: int) -> int:
        """Work on a job until it is done or the stretch is over; return the quarter hours."""
        a_slot = SLOT_MINUTES * len(team.members)
        lasts = min(slots, -(-self.takes[job] // a_slot))
        team.done.append((job, at, at + lasts))
        self.in_block[job] = team
        place = self.tables.sorts[self.tables.sort_of[job]].section
        if place:
            team.places.add(place)
        self.takes[job] -= lasts * a_slot
        if self.takes[job] > 0:
            self.estimated[job] = min(self.takes[job], self.tables.minutes[job])
            self.soon.append(job)
        else:
            self._finish(team, job, at + lasts)
        return lasts

    def _finish(self, team: Team, job: int, at: int) -> None:
        self.left -= 1
        stone = self.tables.stone_of[job]
        if stone >= 0:
            self.of_stone[stone] -= 1
            self.stones += not self.of_stone[stone]
        for other in self.tables.unlocks[job]:
            self.firsts[other] -= 1
            if not self.firsts[other]:
                self._unlock(team, other, at)

    def _unlock(self, team: Team, job: int, at: int) -> None:
        """Have a job wait for as long as it must now that all before it is done."""
        one = self.tables.jobs[job]
        hours = one.wait_hours + (at / SLOTS_AN_HOUR if one.wait_hours else 0)
        on = self.today + timedelta(days=ceil(hours / HOURS_A_DAY))
        if one.after_winter:
            on = max(on, winter_over_on(self.today))
        if one.not_before:
            on = max(on, one.not_before)
        if on > self.today or not self._in_season(job):
            self._later(job, on)
        elif all(self.in_block.get(first, team) is team for first in self.tables.after[job]):
            team.local.append(job)
        else:
            self.soon.append(job)
