"""Proof of the best plan on small days: one model over all crews that could be, by CP-SAT.

A crew is known by its block and leader. For each, one of the listed sets of people is chosen
(`pick`), jobs are given to it per size (`does`), and the rules become linear; times are modelled
only where hours, order or a supervisor's presence could matter. One worker, a fixed seed and
deterministic time: the same facts give the same answer.
"""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from workdays.planner.columns import MOST_JOBS, MOST_PEOPLE, columns
from workdays.planner.index import Ground
from workdays.rules.facts import Plan

if TYPE_CHECKING:
    from workdays.planner.search import Team


@dataclass(frozen=True, slots=True)
class Proof:
    """What CP-SAT found: a plan; a bound above an empty plan; whether the two meet."""

    plan: Plan | None = None
    bound: int | None = None
    proved: bool = False


def prove(
    ground: Ground,
    teams: "list[Team]",
    work: float,
    *,
    seconds: float | None = None,
    ended: Callable[[], bool] | None = None,
) -> Proof:
    """Search the whole of a small day, starting from the plan already found.

    `work` counts CP-SAT's deterministic time; `seconds` stops it by the clock as well. `ended`
    is asked about twice a second meanwhile: whether whoever watches has ended the search.
    """
    found = columns(ground) if work > 0 and provable(ground) else None
    if found is None or (seconds is not None and seconds <= 0):
        return Proof()
    # The solver takes most of a second to load, and few processes ever prove a plan.
    from workdays.planner.proof_search import search

    return search(ground, found, teams, work, seconds=seconds, ended=ended)


def provable(ground: Ground) -> bool:
    """Whether the day is small, and the model says all that the rules say of it."""
    facts = ground.facts
    if len(ground.people) > MOST_PEOPLE or len(ground.jobs) > MOST_JOBS:
        return False
    skills = {asked.skill for asked in ground.classes if asked.supervised}
    return len(skills) <= 1 and facts.now is None and facts.max_moved is None
