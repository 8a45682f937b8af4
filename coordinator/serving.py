"""Run the whole service on one machine: a web server, and one worker with the timetable.

Both are processes of their own; all end together, on Ctrl-C, on SIGTERM, or when one of them ends.
"""

import os
import signal
import socket
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from types import FrameType

from django.conf import settings

WEB = ("gunicorn", "coordinator.wsgi", "--threads=8", "--log-level=warning", "--no-control-socket")
WORKER = ("celery", "--quiet", "-A", "coordinator", "worker", "--beat", "--concurrency=2",
          "--loglevel=warning", "--without-gossip", "--without-mingle")  # fmt: skip
START_SECONDS = 60
STOP_SECONDS = 15


class CannotServeError(Exception):
    """The service cannot start; the message says why and what to do."""


def _where() -> tuple[str, int]:
    host, _, port = settings.LISTEN.rpartition(":")
    return host, int(port)


def _check_free() -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(_where())
        except OSError as error:
            raise CannotServeError(
                f"{settings.LISTEN} cannot be used ({error.strerror}). "
                "Set SITE_URL to another port, as in SITE_URL=http://127.0.0.1:8010."
            ) from error


def _start(words: Sequence[str]) -> subprocess.Popen[bytes]:
    # A session of its own: Ctrl-C reaches this process only, which then ends the others in order.
    return subprocess.Popen(  # noqa: S603  # fixed words, no shell
        [sys.executable, "-m", *words], cwd=settings.BASE_DIR, start_new_session=True
    )


def _answers() -> bool:
    with socket.socket() as probe:
        probe.settimeout(1)
        return probe.connect_ex(_where()) == 0


def _end(processes: Sequence[subprocess.Popen[bytes]]) -> None:
    """Ask all to end at once, then kill what is left of each group."""
    for process in processes:
        if process.poll() is None:
            process.terminate()
    for process in processes:
        with suppress(subprocess.TimeoutExpired):
            process.wait(STOP_SECONDS)
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGKILL)
        process.wait()


class _Stop:
    """Becomes set by Ctrl-C or SIGTERM."""

    def __init__(self) -> None:
        self.asked = threading.Event()
        for number in (signal.SIGINT, signal.SIGTERM):
            signal.signal(number, self._ask)

    def _ask(self, _number: int, _frame: FrameType | None) -> None:
        self.asked.set()


def serve(*, announce: Callable[[], None]) -> int:
    """Serve until asked to stop; ``announce`` is called once the site answers.

    Returns 0 after a stop that was asked for, 1 when a process ended by itself.
    Raises CannotServeError when the address is taken.
    """
    _check_free()
    stop = _Stop()
    processes = [_start((*WEB, f"--bind={settings.LISTEN}")), _start(WORKER)]

    def all_live() -> bool:
        return all(process.poll() is None for process in processes)

    try:
        for _ in range(START_SECONDS * 5):
            if _answers() or not all_live() or stop.asked.wait(0.2):
                break
        if all_live() and not stop.asked.is_set():
            announce()
        while all_live() and not stop.asked.wait(0.5):
            pass
        return 0 if stop.asked.is_set() else 1
    finally:
        _end(processes)
