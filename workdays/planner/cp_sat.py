"""CP-SAT as the planner uses it: one worker, a fixed seed, deterministic time; can be stopped."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor, wait

from ortools.sat.python import cp_model

TELL_SECONDS = 0.5  # between two looks at whether the search has been ended
FOUND = (cp_model.OPTIMAL, cp_model.FEASIBLE)


def solver_of(work: float, seconds: float | None) -> cp_model.CpSolver:
    """Return a solver for so many units of deterministic time, and no longer than the seconds."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 1
    solver.parameters.max_deterministic_time = work
    solver.parameters.linearization_level = 2
    solver.parameters.symmetry_level = 0
    solver.parameters.cp_model_probing_level = 0
    if seconds is not None:
        solver.parameters.max_time_in_seconds = seconds
    return solver


def solved(
    solver: cp_model.CpSolver, model: cp_model.CpModel, ended: Callable[[], bool] | None
) -> cp_model.CpSolverStatus:
    """Solve, and return the status; what was found until the end counts.

    `ended`: whether whoever watches has ended the search; CP-SAT then works in a thread of its
    own while they are asked about twice a second.
    """
    if ended is None:
        return solver.solve(model)
    with ThreadPoolExecutor(max_workers=1) as threads:
        solving = threads.submit(solver.solve, model)
        while not wait([solving], timeout=TELL_SECONDS).done:
            if ended():
                solver.stop_search()
    return solving.result()
