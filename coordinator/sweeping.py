"""Whatever is due and was not picked up. Other packages add their own sweepers at start-up."""

import logging
from collections.abc import Callable
from datetime import datetime

from coordinator import mail

log = logging.getLogger(__name__)
Sweeper = Callable[[datetime], None]
SWEEPERS: list[Sweeper] = []
MOST_MESSAGES = 500


class SweepError(Exception):
    """Some sweepers failed; each is in the log, and the others have run."""


def add(sweeper: Sweeper) -> None:
    """Have a function called at each sweep; it must do no harm when called twice."""
    if sweeper not in SWEEPERS:
        SWEEPERS.append(sweeper)


def due_messages(now: datetime) -> list[int]:
    """Return the ids of mail that may leave, in the order in which it was queued."""
    return list(mail.due(now).order_by("pk").values_list("pk", flat=True)[:MOST_MESSAGES])


def run_sweepers(now: datetime) -> None:
    """Call each sweeper; one that fails does not stop the others.

    Raises SweepError at the end, so that the failure is seen.
    """
    failed = []
    for sweeper in SWEEPERS:
        try:
            sweeper(now)
        except Exception:
            log.exception("Sweeper %s failed.", sweeper.__qualname__)
            failed.append(sweeper.__qualname__)
    if failed:
        raise SweepError(", ".join(failed))


def sweep(now: datetime) -> int:
    """Deliver what is due in order, then call each sweeper; return how many left.

    For a machine without a worker; a worker hands each message to a task of its own.
    """
    sent = sum(mail.deliver(pk, now=now) for pk in due_messages(now))
    run_sweepers(now)
    return sent
