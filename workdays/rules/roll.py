"""When the roll may be kept and a day closed."""

from __future__ import annotations

from datetime import datetime, timedelta

from workdays.rules.refusals import Refusal

EARLY = timedelta(hours=3)
LATE = timedelta(days=2)


def refusals_to_note(
    state: str, starts_at: datetime, ends_at: datetime, at: datetime, now: datetime
) -> list[Refusal]:
    """Return why somebody's coming or going at a moment may not be noted now."""
    found = refusals_shut(state)
    if now < starts_at - EARLY:
        found.append(Refusal("early", "The roll opens three hours before the day starts."))
    if at > now + timedelta(minutes=1):
        found.append(Refusal("at", "This time has not come yet."))
    if not starts_at - EARLY <= at <= ends_at + EARLY:
        found.append(Refusal("at", "This time is not on the day."))
    return found


def refusals_to_close(state: str, starts_at: datetime, now: datetime) -> list[Refusal]:
    """Return why a day may not be closed now."""
    found = refusals_shut(state)
    if now < starts_at:
        found.append(Refusal("early", "A day is closed after it has begun."))
    return found


def refusals_shut(state: str) -> list[Refusal]:
    """Return why nothing can be noted on a day that is not open."""
    if state == "closed":
        return [Refusal("closed", "This day is closed; what was noted stays as it is.")]
    if state == "called_off":
        return [Refusal("called_off", "This day was called off.")]
    if state == "draft":
        return [Refusal("draft", "This day was never opened.")]
    return []
