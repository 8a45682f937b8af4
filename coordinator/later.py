"""Ask for work that happens after the commit; a broker that is down never breaks a saved form."""

import logging
from typing import Any

from celery import Task
from django.db import transaction
from kombu.exceptions import KombuError

log = logging.getLogger(__name__)


def _ring(task: Task[Any, Any], ids: tuple[int, ...]) -> None:
    # What is due is always a row: when the bell cannot be rung, the sweep finds it.
    try:
        task.apply_async(args=ids, ignore_result=True, retry=False)
    except (KombuError, OSError):
        log.warning("The queue is out of reach; %s will be found by the sweep.", task.name)


def later(task: Task[Any, Any], *ids: int) -> None:
    """Run a task by ids once the present transaction is committed."""

    def ring() -> None:
        _ring(task, ids)

    # A named function: Django logs its name when it fails, and a partial has none.
    transaction.on_commit(ring, robust=True)
