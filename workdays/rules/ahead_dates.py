"""On which dates days would be: evenly over the months in which work is done."""

from datetime import date, timedelta
from math import ceil, floor

from workdays.rules.ahead_facts import SLOT_MINUTES

DAYS_OF_YEAR, MONTHS = 365.25, 12
LONGEST_HOURS = 3  # of one stretch of work, before a break


def dates_ahead(begins: date, *, a_month: int, months: tuple[int, int], count: int) -> list[date]:
    """Return so many dates from a first one, ``a_month`` in each of the months of work.

    ``months``: the first and the last of them, over the new year where the first is the later. A
    date outside of them is the first day of the next season of work instead. At most a day a date.
    """
    step = max(1.0, DAYS_OF_YEAR / MONTHS / a_month)
    found: list[date] = []
    start, number = _in_months(begins, months), 0
    while len(found) < count:
        on = start + timedelta(days=floor(number * step))
        inside = _in_months(on, months)
        if inside != on:
            start, number, on = inside, 0, inside
        found.append(on)
        number += 1
    return found


def _in_months(on: date, months: tuple[int, int]) -> date:
    """Return the date itself, or the first day of the next season of work."""
    first, last = months
    inside = first <= on.month <= last if first <= last else on.month >= first or on.month <= last
    if inside:
        return on
    return date(on.year + (on.month > first), first, 1)


def stretches(hours: float) -> tuple[int, ...]:
    """Return hours of work as stretches of equal length between breaks, in quarter hours."""
    slots = round(hours * 60 / SLOT_MINUTES)
    parts = max(1, ceil(hours / LONGEST_HOURS))
    return tuple(slots * (n + 1) // parts - slots * n // parts for n in range(parts))
