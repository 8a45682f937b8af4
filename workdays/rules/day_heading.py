"""Where a day stands for somebody who would come, and the heading that says it."""

from datetime import datetime
from enum import StrEnum

from workdays.rules.eligibility import DayState, OpenDay


class Standing(StrEnum):
    """What a day is to the public."""

    CALLED_OFF = "called off"
    OVER = "over"
    UNDER_WAY = "under way"
    SHUT = "shut"
    FULL = "full"
    FREE = "free"


def standing_of(day: OpenDay, *, ends_at: datetime, left: int, now: datetime) -> Standing:
    """Return where a day stands; a moment that is reached counts as passed."""
    if day.state is DayState.CALLED_OFF:
        return Standing.CALLED_OFF
    if day.state is DayState.CLOSED or now >= ends_at:
        return Standing.OVER
    if now >= day.starts_at:
        return Standing.UNDER_WAY
    if now >= day.cut_off_at:
        return Standing.SHUT
    return Standing.FREE if left else Standing.FULL


def heading(standing: Standing, name: str, *, left_words: str, moved: bool) -> str:
    """Return the sentence at the top: ``name`` is "Saturday 9 May at Alder Hill"."""
    if standing is Standing.CALLED_OFF:
        return f"Called off: {name}"
    if standing is Standing.OVER:
        return f"{name} is over"
    if standing is Standing.UNDER_WAY:
        return f"{name} has begun"
    answer = {
        Standing.SHUT: "sign-up is closed",
        Standing.FULL: "full, with a waiting list",
        Standing.FREE: left_words,
    }[standing]
    return f"{'Moved to ' if moved else ''}{name}: {answer}"


def takes_people(standing: Standing) -> bool:
    """Return whether one can still sign up, be it for the list."""
    return standing in (Standing.FREE, Standing.FULL)
