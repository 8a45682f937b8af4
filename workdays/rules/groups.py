"""Places that the leader of a school, troop or team holds for people who are named later."""

from datetime import datetime

from workdays.rules.counting import counted
from workdays.rules.eligibility import Comer, OpenDay, refusals_to_sign_up
from workdays.rules.refusals import Refusal

FEWEST = 2


def refusals_to_hold(day: OpenDay, wanted: int, *, free: int, now: datetime) -> list[Refusal]:
    """Return why so many places cannot be held; ``free``: those that nobody waits for."""
    shut = refusals_to_sign_up(day, Comer(adult=True, waiver_current=True), now=now)
    if shut:
        return shut
    if wanted < FEWEST:
        return [Refusal("places", f"A group holds at least {FEWEST} places.")]
    if free <= 0:
        return [Refusal("places", "No place is free: each of you may join the waiting list.")]
    if wanted > free:
        is_free = counted(free, "place is", "places are")
        return [Refusal("places", f"{is_free} free on this day: ask for no more.")]
    return []


def refusals_to_take(
    held: int, people: int, *, until: datetime | None, now: datetime
) -> list[Refusal]:
    """Return why people cannot take so many of a group's places."""
    if until is None or until <= now:
        return [Refusal("group", "The places of this group are not held any more.")]
    if people > held:
        left = counted(held, "place is", "places are") if held else "No place is"
        return [Refusal("group", f"{left} left for this group; the ordinary form may have more.")]
    return []


def refusals_to_teach(teachable: int, learners: int) -> list[Refusal]:
    """Return why a clinic cannot take so many more people who are new to it."""
    if learners <= teachable:
        return []
    sentence = "This clinic can teach no more new people; the ordinary form has a waiting list."
    return [Refusal("group", sentence)]


def refusals_to_give_back(held: int, given: int) -> list[Refusal]:
    """Return why so many held places cannot be given back."""
    if 1 <= given <= held:
        return []
    return [
        Refusal("give", f"You hold {held}: give back 1 to {held}." if held else "You hold none.")
    ]
