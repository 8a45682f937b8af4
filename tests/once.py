"""What the workers of a run share: the first of them makes it, the others wait for it."""

import fcntl
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest


def folder_of_the_run(factory: pytest.TempPathFactory) -> Path:
    """Return the folder that every worker of a run sees; a run without workers has its own."""
    own = factory.getbasetemp()
    return own.parent if own.name.startswith("popen-") else own


def made_once(folder: Path, make: Callable[[Path], object]) -> Path:
    """Return a folder that only who comes first has made; what failed half-way is not there."""
    with folder.with_suffix(".lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        if not folder.exists():
            begun = Path(tempfile.mkdtemp(prefix=f"{folder.name}-", dir=folder.parent))
            make(begun)
            begun.rename(folder)
    return folder
