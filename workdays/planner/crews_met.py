"""Crews that searches have met on their way, each once, with all that they do."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from workdays.planner.board import BLOCK, GAIN, JOBS, KEPT, LEADER, SIZE, SUPERVISOR, TRAINEES
from workdays.planner.index import Ground, ones
from workdays.planner.search import Search
from workdays.planner.tables import NOBODY
from workdays.rules.brought import most_at_once
from workdays.rules.facts import Crew, Plan, PlannedJob


class Met(NamedTuple):
    """One crew: who, under whom, which jobs from when, what it holds and is worth by itself.

    `mask`: its people as bits. `kit`: how many of which equipment. `gain`: points of its own.
    """

    b: int
    leader: int
    mask: int
    jobs: tuple[int, ...]
    starts: tuple[int, ...]
    supervisor: int
    trainees: int
    kit: dict[str, int]
    gain: int


Key = tuple[int, int, int, frozenset[int]]
Row = NDArray[np.int64]


class CrewsMet:
    """A collection of crews; of those with the same people and jobs the first is kept."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.crews: dict[Key, Met] = {}

    def __len__(self) -> int:
        return len(self.crews)

    def note(self, search: Search) -> None:
        """Add the crews of the plan that a search is at."""
        board = search.board
        for b, count in enumerate(board.crews.tolist()):
            for row in board.live[b, :count].tolist():
                self._note(board.crew[row], board.people[row], board.jobs[row], board.starts[row])

    def note_kept(self, search: Search) -> list[Key]:
        """Add the crews of the best plan that a search has met; return which they are."""
        board = search.board
        rows = range(int(board.now[KEPT]))
        kept = (board.kept_crew, board.kept_people, board.kept_jobs, board.kept_starts)
        return [self._note(*(part[row] for part in kept)) for row in rows]

    def _note(self, row: Row, people: Row, jobs: Row, starts: Row) -> Key:
        crew = row.tolist()
        does = jobs[: crew[JOBS]].tolist()
        mask = sum(1 << p for p in people[: crew[SIZE]].tolist())
        key = (crew[BLOCK], crew[LEADER], mask, frozenset(does))
        if key not in self.crews:
            self.crews[key] = Met(
                b=crew[BLOCK],
                leader=crew[LEADER],
                mask=mask,
                jobs=tuple(does),
                starts=tuple(starts[: crew[JOBS]].tolist()),
                supervisor=crew[SUPERVISOR],
                trainees=crew[TRAINEES],
                kit=most_at_once(self.ground.jobs[j].kit for j in does),
                gain=crew[GAIN],
            )
        return key


def plan_of(ground: Ground, crews: list[Met]) -> Plan:
    """Return crews as a plan in the words of the facts."""
    return Plan(tuple(_crew(ground, met) for met in crews))


def _crew(ground: Ground, met: Met) -> Crew:
    people, size = ground.people, met.mask.bit_count()
    others = ones(met.mask & ~(1 << met.leader))
    return Crew(
        block=met.b,
        leader=people[met.leader].id,
        members=(people[met.leader].id, *(people[p].id for p in others)),
        jobs=tuple(
            PlannedJob(ground.jobs[j].id, start, start + ground.duration[j][size])
            for j, start in zip(met.jobs, met.starts, strict=True)
        ),
        supervisor=None if met.supervisor == NOBODY else people[met.supervisor].id,
    )
