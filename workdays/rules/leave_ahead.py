"""What of the owner's leave runs out soon, and what follows it."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from workdays.rules.counting import some
from workdays.rules.leave import PermissionFacts

DAYS = 60


@dataclass(frozen=True)
class After:
    """What follows the end of a permission for one kind of work.

    ``until``: leave goes on without a gap, to this day. ``begins_on``: after a gap it begins
    again. Neither: nothing follows.
    """

    until: date | None = None
    begins_on: date | None = None


def runs_out_soon(ends_on: date, today: date) -> bool:
    """Return whether leave ends today or in the days looked ahead, the last one included."""
    return today <= ends_on <= today + timedelta(days=DAYS)


def after(kind: str, ends_on: date, permissions: Iterable[PermissionFacts]) -> After:
    """Return what follows for a kind of work after a day on which leave for it ends."""
    for_kind = sorted(
        (leave.starts_on, leave.ends_on) for leave in permissions if kind in leave.kinds
    )
    until = ends_on
    for starts_on, last in for_kind:
        if starts_on <= until + timedelta(days=1):
            until = max(until, last)
        elif until == ends_on:
            return After(begins_on=starts_on)
    return After(until=until) if until > ends_on else After()


def headline(*, ending: int, unanswered: int, not_asked: int) -> str:
    """Return "2 permissions run out in the next 60 days, 1 family has not answered"."""
    parts = []
    if ending:
        verb = "runs" if ending == 1 else "run"
        parts.append(f"{some(ending, 'permission')} {verb} out in the next {DAYS} days")
    if unanswered:
        parts.append(f"{_families(unanswered)} not answered")
    if not_asked:
        parts.append(f"{_families(not_asked)} not been asked yet")
    if not parts:
        return f"No permission runs out in the next {DAYS} days, no family is waited for"
    return ", ".join(parts)


def _families(n: int) -> str:
    return "1 family has" if n == 1 else f"{n} families have"


def ago(on: date, today: date) -> str:
    """Return "today", "yesterday" or "24 days ago"."""
    days = (today - on).days
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")


def ahead(on: date, today: date) -> str:
    """Return "today", "tomorrow" or "in 40 days"."""
    days = (on - today).days
    return {0: "today", 1: "tomorrow"}.get(days, f"in {days} days")
