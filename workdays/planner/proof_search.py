"""The search for a proof: the model of a small day, handed to CP-SAT."""

from collections.abc import Callable
from math import floor

from ortools.sat.python import cp_model

from workdays.planner.columns import Column
from workdays.planner.cp_sat import FOUND, solved, solver_of
from workdays.planner.index import Ground
from workdays.planner.proof import Proof
from workdays.planner.proof_model import Model
from workdays.planner.proof_points import Points
from workdays.planner.proof_rules import Rules
from workdays.planner.search import Team

TELL_SECONDS = 0.5  # between two looks at whether somebody is to be told, or has stopped the search


def search(
    ground: Ground,
    found: list[Column],
    teams: list[Team],
    work: float,
    *,
    seconds: float | None,
    ended: Callable[[], bool] | None,
) -> Proof:
    """Search every plan made of these columns, starting from the plan already found."""
    model = Model(ground, found)
    Rules(model).add()
    Points(model).add()
    model.hint(teams)
    solver = solver_of(work, seconds)
    status = solved(solver, model.cp, ended)
    if status not in FOUND:
        return Proof()
    bound = floor(solver.best_objective_bound + 1e-6)
    return Proof(model.plan(solver), bound, status == cp_model.OPTIMAL)
