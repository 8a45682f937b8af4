"""Which planner made a plan; stored with it, so that the same run can be made again."""

from importlib.metadata import version

VERSION = f"crews 2, numba {version('numba')}, ortools {version('ortools')}"
