"""The only poll of the tests."""

import threading
import time
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")
STEP_SECONDS = 0.1


def eventually(check: Callable[[], T], *, timeout: float = 20, what: str = "") -> T:
    """Return the first true value of ``check``; fail after ``timeout`` seconds.

    ``what`` says in words what was waited for.
    """
    end = time.monotonic() + timeout
    pause = threading.Event()
    while not (value := check()):
        if time.monotonic() > end:
            raise AssertionError(f"Not within {timeout} s: {what or check}; last: {value!r}")
        pause.wait(STEP_SECONDS)
    return value
