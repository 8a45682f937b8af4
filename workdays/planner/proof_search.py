"""The search for a proof: the model of a small day, handed to CP-SAT."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait
from math import floor

from ortools.sat.python import cp_model

from workdays.planner.columns import Column
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
    return _solved(model, work, seconds, ended)


def _solved(
    model: Model, work: float, seconds: float | None, ended: Callable[[], bool] | None
) -> Proof:
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    solver.parameters.linearization_level = 2
    solver.parameters.symmetry_level = 0
    solver.parameters.cp_model_probing_level = 0
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    status = _watched(solver, model, ended) if ended else solver.solve(model.cp)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Proof()
    bound = floor(solver.best_objective_bound + 1e-6)
    return Proof(model.plan(solver), bound, status == cp_model.OPTIMAL)


def _watched(solver: cp_model.CpSolver, model: Model, ended: Callable[[], bool]) -> object:
    """Let CP-SAT work in a thread of its own, and stop it once whoever watches has ended it."""
    with ThreadPoolExecutor(max_workers=1) as threads:
        solving = threads.submit(solver.solve, model.cp)
        while not wait([solving], timeout=TELL_SECONDS).done:
            if ended():
                solver.stop_search()
    return solving.result()
