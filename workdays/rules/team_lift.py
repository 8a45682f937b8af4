"""How much a few people may lift together, by the Health and Safety Executive (UK).

Factors: guidance on the Manual Handling Operations Regulations 1992 (L23), para 120, read in a
copy. Per-person values: the filter of leaflet INDG143 and L23, figure 23, from memory: the page
was seen, its drawing was not. They are a screen for low risk, no limits in law.
"""

from __future__ import annotations

from fractions import Fraction

from workdays.rules.published import Source
from workdays.rules.units import Number, exact

TEAM_FACTORS: dict[int, Fraction] = {1: Fraction(1), 2: Fraction(2, 3), 3: Fraction(1, 2)}
"""Part of the sum of what each can lift. For four no factor is published; more are unlikely to
work together, so a fourth pair of hands is never counted."""
MOST_WORKABLE = 4

KNUCKLE_KG = (16, 25)
"""One person with the hands between elbow and knuckle, load close: lower and higher published
value (women, men)."""
GROUND_KG = (7, 10)
"""The same with the hands below the middle of the lower leg."""

L23 = Source(
    "Health and Safety Executive (UK)",
    "guidance on the Manual Handling Operations Regulations (L23)",
    1992,
    "para 119, 120",
)
FILTER = Source(
    "Health and Safety Executive (UK)",
    "manual handling filter, INDG143 and L23 figure 23",
    None,
    from_memory=True,
)


def team_capability(each: Number, people: int) -> Fraction:
    """Return what people may lift together, in the unit of what each may lift alone.

    Raises ValueError for a team that no factor is published for.
    """
    if people not in TEAM_FACTORS:
        raise ValueError(f"no factor is published for {people} people")
    return TEAM_FACTORS[people] * exact(each) * people


def people_needed(load: Number, each: Number) -> int | None:
    """Return the smallest team that may lift a load; None: no team by hands."""
    fit = (n for n in sorted(TEAM_FACTORS) if team_capability(each, n) >= exact(load))
    return next(fit, None)


def capability_words() -> str:
    """Return which published values are used, and why the lower ones."""
    low, ground = KNUCKLE_KG[0], GROUND_KG[0]
    return (
        f"The lower of two published values is used, since nobody knows who will come: {ground} kg "
        f"a person from the ground (also published: {GROUND_KG[1]}), {low} kg with the hands held "
        f"between knuckle and elbow (also published: {KNUCKLE_KG[1]}). Two people count for 2/3 "
        f"of the sum, three for 1/2; more than {MOST_WORKABLE} are unlikely to work."
    )
