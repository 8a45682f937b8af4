"""Judge when a picture was taken, and which two make a pair."""

from __future__ import annotations

from datetime import date

from workdays.rules.refusals import Refusal

FIRST_YEAR = 1900  # old pictures of a stone are a find


def refusals_to_keep(on: date, *, today: date) -> list[Refusal]:
    """Return why a picture cannot have been taken on a day; empty: it can."""
    if on > today:
        return [Refusal("future", "A picture is kept after it was taken: this day is to come.")]
    if on.year < FIRST_YEAR:
        return [Refusal("too-old", f"Give a day from {FIRST_YEAR} on.")]
    return []


def refusals_to_pair(
    *, same_place: bool, same_picture: bool, before_on: date, after_on: date
) -> list[Refusal]:
    """Return why two pictures are not before and after; empty: they are."""
    if same_picture:
        return [Refusal("same-picture", "A picture makes no pair with itself: choose another.")]
    if not same_place:
        return [Refusal("other-place", "The two pictures show different stones.")]
    if before_on > after_on:
        said = "The picture from before was taken later than the one from after."
        return [Refusal("order", f"{said} Choose them the other way round.")]
    return []
