"""Whatever is due and was not picked up. Other packages add their own sweepers at start-up."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from celery import Task

from coordinator import mail
from coordinator.later import later

log = logging.getLogger(__name__)
Sweeper = Callable[[datetime], None]
SWEEPERS: list[Sweeper] = []


@dataclass(frozen=True)
class Errand:
    """Work of its own task, by id: what ``due`` returns is asked for again at each sweep."""

    task: Task[Any, Any]
    due: Callable[[datetime], list[int]]


ERRANDS: list[Errand] = []
MOST_MESSAGES = 500


class SweepError(Exception):
    """Some sweepers failed; each is in the log, and the others have run."""


def add(sweeper: Sweeper) -> None:
    """Have a function called at each sweep; it must do no harm when called twice."""
    if sweeper not in SWEEPERS:
        SWEEPERS.append(sweeper)


def add_errand(errand: Errand) -> None:
    """Have a task asked for again, for each id that is due; the task may come twice."""
    if errand not in ERRANDS:
        ERRANDS.append(errand)


def due_messages(now: datetime) -> list[int]:
    """Return the ids of mail that may leave, in the order in which it was queued."""
    return list(mail.due(now).order_by("pk").values_list("pk", flat=True)[:MOST_MESSAGES])


def run_sweepers(now: datetime, *, by_worker: bool) -> None:
    """Call each sweeper and see to each errand; one that fails does not stop the others.

    ``by_worker``: errands are handed to the worker one by one; else they are done here.
    Raises SweepError at the end, so that the failure is seen.
    """
    failed = []
    steps = [(sweeper.__qualname__, sweeper) for sweeper in SWEEPERS]
    steps += [(errand.task.name, _seen_to(errand, by_worker=by_worker)) for errand in ERRANDS]
    for name, step in steps:
        try:
            step(now)
        except Exception:
            log.exception("Sweeper %s failed.", name)
            failed.append(name)
    if failed:
        raise SweepError(", ".join(failed))


def _seen_to(errand: Errand, *, by_worker: bool) -> Sweeper:
    def see_to(now: datetime) -> None:
        for pk in errand.due(now):
            if by_worker:
                later(errand.task, pk)
            else:
                errand.task(pk)

    return see_to


def sweep(now: datetime) -> int:
    """Deliver what is due in order, then call each sweeper; return how many left.

    For a machine without a worker; a worker hands each message to a task of its own.
    """
    sent = sum(mail.deliver(pk, now=now) for pk in due_messages(now))
    run_sweepers(now, by_worker=False)
    return sent
