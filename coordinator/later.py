"""Ask for work that happens after the commit; a broker that is down never breaks a saved form."""

import logging
from functools import partial
from typing import Any

from celery import Task
from django.db import transaction
from kombu.exceptions import OperationalError

log = logging.getLogger(__name__)


def _ring(task: Task[Any, Any], ids: tuple[int, ...]) -> None:
    # What is due is always a row: when the bell cannot be rung, the sweep finds it.
    try:
        task.apply_async(args=ids, ignore_result=True, retry=False)
    except (OperationalError, OSError):
        log.warning("The queue is out of reach; %s will be found by the sweep.", task.name)


def later(task: Task[Any, Any], *ids: int) -> None:
    """Run a task by ids once the present transaction is committed."""
    transaction.on_commit(partial(_ring, task, ids))
