"""Whether work can have been done when somebody says that it was."""

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from workdays.rules.refusals import Refusal

EARLIEST = date(1990, 1, 1)
LAST_MINUTE = time(23, 59)


def done_at(on: date, at: time | None, *, zone: ZoneInfo, now: datetime) -> datetime:
    """Return the moment from which waiting times count: without a time, the end of that day.

    Today it is no later than now. An hour that the clock shows twice counts as the later one.
    """
    said = datetime.combine(on, at or LAST_MINUTE, tzinfo=zone).replace(fold=1)
    here = now.astimezone(zone)
    return min(said, here) if at is None and on <= here.date() else said


def refusals_to_finish(said: datetime, *, now: datetime, is_open: bool) -> list[Refusal]:
    """Return why a job cannot be noted as done at a moment; empty: it can."""
    if not is_open:
        return [Refusal("not-open", "This job is not to be done any more: its state is noted.")]
    if said > now:
        return [Refusal("future", "That is still to come: note it when it is done.")]
    if said.date() < EARLIEST:
        return [Refusal("too-old", f"Give a day from {EARLIEST.year} on.")]
    return []
