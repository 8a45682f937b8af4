"""Where a day stands for somebody who would come, and the heading that says it."""

from datetime import datetime
from enum import StrEnum

from workdays.rules.eligibility import DayState, OpenDay


class PublicState(StrEnum):
    """What a day is to the public."""

    CALLED_OFF = "called off"
    OVER = "over"
    UNDER_WAY = "under way"
    SHUT = "shut"
    FULL = "full"
    FREE = "free"


def public_state(day: OpenDay, *, ends_at: datetime, left: int, now: datetime) -> PublicState:
    """Return what a day is to the public; a moment that is reached counts as passed."""
    if day.state is DayState.CALLED_OFF:
        return PublicState.CALLED_OFF
    if day.state is DayState.CLOSED or now >= ends_at:
        return PublicState.OVER
    if now >= day.starts_at:
        return PublicState.UNDER_WAY
    if now >= day.cut_off_at:
        return PublicState.SHUT
    return PublicState.FREE if left else PublicState.FULL


def heading(state: PublicState, name: str, *, left_words: str, moved: bool) -> str:
    """Return the sentence at the top: ``name`` is "Saturday 9 May at Alder Hill"."""
    if state is PublicState.CALLED_OFF:
        return f"Called off: {name}"
    if state is PublicState.OVER:
        return f"{name} is over"
    if state is PublicState.UNDER_WAY:
        return f"{name} has begun"
    answer = {
        PublicState.SHUT: "sign-up is closed",
        PublicState.FULL: "full, with a waiting list",
        PublicState.FREE: left_words,
    }[state]
    return f"{'Moved to ' if moved else ''}{name}: {answer}"


def takes_people(state: PublicState) -> bool:
    """Return whether one can still sign up, be it for the list."""
    return state in (PublicState.FREE, PublicState.FULL)
