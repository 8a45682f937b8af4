"""Proof of the best plan on small days: one model over all crews that could be, by CP-SAT.

A crew is known by its block and leader. For each, one of the listed sets of people is chosen
(`pick`), jobs are given to it per size (`does`), and the rules become linear; times are modelled
only where hours, order or a supervisor's presence could matter. One worker, a fixed seed and
deterministic time: the same facts give the same answer.
"""

from dataclasses import dataclass
from math import floor

from ortools.sat.python import cp_model

from workdays.planner.columns import MOST_JOBS, MOST_PEOPLE, columns
from workdays.planner.index import Ground
from workdays.planner.proof_model import Model
from workdays.planner.proof_points import Points
from workdays.planner.proof_rules import Rules
from workdays.planner.state import Team
from workdays.rules.facts import Plan


@dataclass(frozen=True, slots=True)
class Proof:
    """What CP-SAT found: a plan; a bound above an empty plan; whether the two meet."""

    plan: Plan | None = None
    bound: int | None = None
    proved: bool = False


def prove(ground: Ground, teams: list[Team], work: float, *, seconds: float | None = None) -> Proof:
    """Search the whole of a small day, starting from the plan already found.

    `work` counts CP-SAT's deterministic time; `seconds` stops it by the clock as well.
    """
    found = columns(ground) if work > 0 and provable(ground) else None
    if found is None or (seconds is not None and seconds <= 0):
        return Proof()
    model = Model(ground, found)
    Rules(model).add()
    Points(model).add()
    model.hint(teams)
    return _solved(model, work, seconds)


def provable(ground: Ground) -> bool:
    """Whether the day is small, and the model says all that the rules say of it."""
    facts = ground.facts
    if len(ground.people) > MOST_PEOPLE or len(ground.jobs) > MOST_JOBS:
        return False
    skills = {asked.skill for asked in ground.classes if asked.supervised}
    return len(skills) <= 1 and facts.now is None and facts.max_moved is None


def _solved(model: Model, work: float, seconds: float | None) -> Proof:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    solver.parameters.linearization_level = 2
    solver.parameters.symmetry_level = 0
    solver.parameters.cp_model_probing_level = 0
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model.cp)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Proof()
    bound = floor(solver.best_objective_bound + 1e-6)
    return Proof(model.plan(solver), bound, status == cp_model.OPTIMAL)
