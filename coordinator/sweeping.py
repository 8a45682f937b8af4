"""Whatever is due and was not picked up. Other packages add their own sweepers at start-up."""

from collections.abc import Callable
from datetime import datetime

from coordinator import mail

Sweeper = Callable[[datetime], None]
SWEEPERS: list[Sweeper] = []
MOST_MESSAGES = 500


def add(sweeper: Sweeper) -> None:
    """Have a function called at each sweep; it must do no harm when called twice."""
    if sweeper not in SWEEPERS:
        SWEEPERS.append(sweeper)


def sweep(now: datetime) -> int:
    """Call each sweeper, then deliver what is due in order; return how many were sent."""
    for sweeper in SWEEPERS:
        sweeper(now)
    due = list(mail.due(now).order_by("pk").values_list("pk", flat=True)[:MOST_MESSAGES])
    return sum(mail.deliver(pk, now=now) for pk in due)
