"""Prices of a day's scarce things, by number: what the master asks of a column for each."""

from collections.abc import Callable, Mapping

import numpy as np
from numpy.typing import NDArray

from workdays.planner.index import Ground

Floats = NDArray[np.float64]
Row = tuple[str, tuple[int, ...]]
NEVER = -1e9
BANNED = 1e7


class Prices:
    """None is negative but those of `member`, which holds rewards for staying with a leader.

    `member[b, leader, p]`: of a person in a crew. `job[b, j]`: of a job. `kit[b, k]`: of a piece
    of equipment. `party[b, g]`: of a crew with anybody of a party. `crews[b, m]`,
    `trainees[b, m]`: of a supervised crew, and of each trainee in it, under a supervisor.
    `leads[b, m]`: the reward for a crew that a supervisor leads. `near[b, m, s]`: of supervised
    work in a section under a supervisor of another crew, and, for each crew that could be there,
    the reward where the supervisor's own crew has work there. `banned`: jobs that a leader's
    crew of a block may not do.
    """

    def __init__(self, ground: Ground) -> None:
        blocks, people = len(ground.blocks), len(ground.people)
        self.ratios = ground.facts.ratios
        self.member = np.zeros((blocks, people, people))
        self.job = np.zeros((blocks, len(ground.jobs)))
        self.kit = np.zeros((blocks, len(ground.kits)))
        self.party = np.zeros((blocks, max(1, ground.parties)))
        self.crews = np.zeros((blocks, people))
        self.trainees = np.zeros((blocks, people))
        self.leads = np.zeros((blocks, people))
        self.near = np.zeros((blocks, people, len(ground.sections)))
        self.banned: dict[tuple[int, int], list[int]] = {}

    def charge(self, rows: Mapping[Row, int], duals: Floats) -> None:
        """Add the dual of each row to what it is the price of."""
        ways: dict[str, Callable[..., None]] = {
            "job": self._job,
            "person": self._person,
            "kit": self._kit,
            "party": self._party,
            "crews": self._crews,
            "trainees": self._trainees,
            "near": self._near,
            "order": self._order,
            "both": self._both,
            "stays": self._stays,
        }
        for (name, numbers), row in rows.items():
            if duals[row]:
                ways[name](float(duals[row]), *numbers)

    def _job(self, dual: float, j: int) -> None:
        self.job[:, j] += dual

    def _person(self, dual: float, b: int, p: int) -> None:
        self.member[b, :, p] += dual

    def _kit(self, dual: float, b: int, k: int) -> None:
        self.kit[b, k] += dual

    def _party(self, dual: float, b: int, g: int) -> None:
        self.party[b, g] += dual

    def _crews(self, dual: float, b: int, m: int) -> None:
        self.crews[b, m] += dual
        self.leads[b, m] += dual * self.ratios.crews_per_supervisor

    def _trainees(self, dual: float, b: int, m: int) -> None:
        self.trainees[b, m] += dual
        self.leads[b, m] += dual * self.ratios.trainees_per_supervisor

    def _near(self, dual: float, b: int, m: int, section: int) -> None:
        self.near[b, m, section] += dual

    def _order(self, dual: float, b: int, j: int, first: int) -> None:
        self.job[: b + 1, j] += dual
        self.job[: b + 1, first] -= dual

    def _both(self, dual: float, b: int, p: int) -> None:
        self.member[b - 1 : b + 1, :, p] += dual

    def _stays(self, dual: float, b: int, p: int, leader: int, later: int) -> None:
        self.member[b - 1 + later, leader, p] -= dual
