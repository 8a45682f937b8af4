"""Lengths in cells: a number in the unit of its column, or text with a unit of its own."""

from __future__ import annotations

import re
from fractions import Fraction

from workdays.rules.units import CM_PER_UNIT, LOOKALIKES, UNIT_OF_WORD, length_cm

_UNIT = "|".join(re.escape(word) for word in sorted(UNIT_OF_WORD, key=len, reverse=True))
WITH_UNIT = re.compile(rf"[\d\u00bc-\u00be\u215b-\u215e]\s*(?:{_UNIT})\.?(?![a-z])")


class NotALengthError(ValueError):
    """The cell is no length; the message says why."""


def has_unit(text: str) -> bool:
    """Return whether a text names its own unit."""
    return bool(WITH_UNIT.search(text.strip().lower().translate(LOOKALIKES)))


def from_number(number: float, unit: str) -> Fraction:
    """Return centimetres, exactly, as the number is written."""
    if unit not in CM_PER_UNIT:
        raise NotALengthError("has no unit; write it with one, or choose one for the column")
    if number != number or abs(number) > 10**9:
        raise NotALengthError("is no length")
    return Fraction(str(number)) * CM_PER_UNIT[unit]


def from_text(text: str, unit: str) -> Fraction:
    """Return centimetres, exactly; a minus is kept, so that bounds can speak of it.

    ``unit`` is for a number without one; where it is none, each cell needs its own.
    """
    text = text.strip().replace("\u2212", "-")
    negative = text.startswith("-") and any(c.isdigit() for c in text)
    bare = text.removeprefix("-") if negative else text
    if unit not in CM_PER_UNIT and any(c.isdigit() for c in bare) and not has_unit(bare):
        raise NotALengthError("has no unit; write it with one, or choose one for the column")
    try:
        found = length_cm(bare, unit or "cm")
    except ValueError as error:
        raise NotALengthError(str(error)) from None
    return -found if negative else found
