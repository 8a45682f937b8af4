"""The search as the rest of the planner sees it: begun, gone on with, asked for its best plan."""

from typing import NamedTuple, cast

import numpy as np

from workdays.planner.anneal import construct, enter, improve, keep_now
from workdays.planner.board import (
    BEST,
    BLOCK,
    JOBS,
    KEPT,
    LEADER,
    SIZE,
    SUPERVISOR,
    Board,
    new_board,
)
from workdays.planner.compiled import PLAIN, Ints, flat
from workdays.planner.index import Ground
from workdays.planner.tables import NOBODY, Tables, tables_of
from workdays.rules.facts import Crew, Plan, PlannedJob

HOT, COLD = 6.0, 1.5  # points; colder or hotter was worse at 25 people, alike at 60


LAST = 3  # of the ranks of jobs that a crew does first


class Team(NamedTuple):
    """A crew of the best plan: block, leader, people as bits, jobs."""

    b: int
    leader: int
    mask: int
    jobs: list[int]


class Search:
    """One search on a day; the same day, seed and tries give the same plan."""

    def __init__(self, ground: Ground, seed: int, like: "Search | None" = None) -> None:
        """Begin with no crew; ``like`` is another search on the same day."""
        self.ground = ground
        self.day: tuple[Ints, Tables] = like.day if like else flat(tables_of(ground))
        memory, tables = self.day
        state, self.board = flat(new_board(tables, ground.kit_there, ground.parties, seed))
        self.tables = cast(Tables, tables if PLAIN else memory)
        self.handle = cast(Board, self.board if PLAIN else state)

    @property
    def best(self) -> int:
        """Points of the best plan above those of a plan without crews."""
        return int(self.board.now[BEST])

    def construct(self) -> None:
        """A plan at once, around what is there already."""
        if self.ground.people and self.ground.blocks:
            construct(self.tables, self.handle)
        else:
            keep_now(self.tables, self.handle)

    def enter(self, plan: Plan) -> None:
        """Put in the crews of an older plan, as far as they may still be: who supervises first."""
        supervisors = {(crew.block, crew.supervisor) for crew in plan.crews}
        order = sorted(plan.crews, key=lambda c: (c.block, (c.block, c.leader) not in supervisors))
        first = first_jobs(self.ground, plan)
        number, job_number = self.ground.number, self.ground.job_number
        for crew in order:
            if crew.leader in number and crew.block < len(self.ground.blocks):
                members = self._who_came(crew)
                leader = number[crew.leader]
                jobs = sorted(
                    crew.jobs, key=lambda task: (first.get(task.job, LAST), task.start, task.end)
                )
                enter(
                    self.tables,
                    self.handle,
                    crew.block,
                    _row([leader, *(p for p in members if p != leader)]),
                    _row([job_number[task.job] for task in jobs if task.job in job_number]),
                )
        keep_now(self.tables, self.handle)

    def _who_came(self, crew: Crew) -> list[int]:
        """Return who of an older crew is there in its block, minors with their guardian only."""
        ground = self.ground
        numbers = [ground.number[m] for m in dict.fromkeys(crew.members) if m in ground.number]
        there = [p for p in numbers if ground.blocks[crew.block].there >> p & 1]
        return [p for p in there if ground.guardian[p] == -1 or ground.guardian[p] in there]

    def improve(self, tries: int, done: float) -> None:
        """So many tries; the temperature falls as ``done`` goes from 0 to 1."""
        improve(self.tables, self.handle, tries, HOT * (COLD / HOT) ** done)

    def teams(self) -> list[Team]:
        """Crews of the best plan, in a fixed order."""
        board, found = self.board, []
        for i in range(int(board.now[KEPT])):
            crew = board.kept_crew[i]
            people = board.kept_people[i, : crew[SIZE]].tolist()
            jobs = board.kept_jobs[i, : crew[JOBS]].tolist()
            mask = sum(1 << p for p in people)
            found.append(Team(int(crew[BLOCK]), int(crew[LEADER]), mask, jobs))
        return sorted(found)

    def plan(self) -> Plan:
        """The best plan in the words of the facts."""
        rows = range(int(self.board.now[KEPT]))
        crews = [self._crew(i) for i in rows]
        return Plan(tuple(sorted(crews, key=lambda c: (c.block, c.leader))))

    def _crew(self, i: int) -> Crew:
        board, ground = self.board, self.ground
        crew = board.kept_crew[i]
        size, count, supervisor = int(crew[SIZE]), int(crew[JOBS]), int(crew[SUPERVISOR])
        jobs = board.kept_jobs[i, :count].tolist()
        starts = board.kept_starts[i, :count].tolist()
        return Crew(
            block=int(crew[BLOCK]),
            leader=ground.people[crew[LEADER]].id,
            members=tuple(ground.people[p].id for p in board.kept_people[i, :size].tolist()),
            jobs=tuple(
                PlannedJob(ground.jobs[j].id, start, start + ground.duration[j][size])
                for j, start in zip(jobs, starts, strict=True)
            ),
            supervisor=None if supervisor == NOBODY else ground.people[supervisor].id,
        )


def first_jobs(ground: Ground, plan: Plan) -> dict[str, int]:
    """Return which jobs of an older plan a crew that cannot do all of its jobs any more does first.

    0: it has begun; 1, 2: without it a crew that has begun, or another, is left unsupervised.
    """
    found = {ground.jobs[j].id: 0 for j in ground.begun}
    section = {job.id: job.section for job in ground.jobs}
    led = {(crew.block, crew.leader): crew for crew in plan.crews}
    for crew in plan.crews:
        over = led.get((crew.block, crew.supervisor or ""))
        if over is None or over == crew:
            continue
        for task in crew.jobs:
            near = [one for one in over.jobs if section.get(one.job) == section.get(task.job)]
            if near:
                one = min(near, key=lambda other: (found.get(other.job, LAST), other.start))
                rank = 2 if found.get(task.job, LAST) else 1
                found[one.job] = min(rank, found.get(one.job, LAST))
    return found


def _row(numbers: list[int]) -> Ints:
    return np.array([*numbers, NOBODY], dtype=np.int64)
