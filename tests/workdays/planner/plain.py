"""The parts of the search as plain Python, so that each can be called alone.

Compiled, only the few that Python calls can be called from here.
"""

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import import_module
from types import SimpleNamespace

import numba

PARTS = ("anneal", "board", "chance", "draft", "moves", "people", "search", "step", "tables")


@contextmanager
def plain_parts() -> Iterator[SimpleNamespace]:
    """Give the modules of the search, loaded once more and not compiled."""
    loaded = {name: sys.modules.pop(name) for name in [*sys.modules] if _is_planner(name)}
    numba.config.DISABLE_JIT = True  # type: ignore[attr-defined]  # read where functions are made
    try:
        parts = {name: import_module(f"workdays.planner.{name}") for name in PARTS}
    finally:
        numba.config.DISABLE_JIT = False  # type: ignore[attr-defined]  # as it was
        for name in [name for name in sys.modules if _is_planner(name)]:
            del sys.modules[name]
        sys.modules.update(loaded)
    yield SimpleNamespace(**parts)


def _is_planner(name: str) -> bool:
    return name.startswith("workdays.planner.")
