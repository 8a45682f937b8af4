"""Exact conversions, so that a limit kept in its source's unit compares without rounding.

Factors: 1 mile = 1.609344 km, 1 inch = 2.54 cm and 1 lb = 0.45359237 kg are exact by the
international yard and pound agreement of 1959; Fahrenheit is exact by definition.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

Number = int | float | Decimal | Fraction

KM_PER_MILE = Fraction(1609344, 1000000)
CM_PER_INCH = Fraction(254, 100)
KG_PER_LB = Fraction(45359237, 100000000)


def exact(number: Number) -> Fraction:
    """Return a number as it is written: 4.4 is 44/10, not the nearest binary fraction."""
    return number if isinstance(number, Fraction) else Fraction(str(number))


def fahrenheit(celsius: Number) -> Fraction:
    """Return degrees Fahrenheit, exactly."""
    return exact(celsius) * Fraction(9, 5) + 32


def celsius(fahrenheit_degrees: Number) -> Fraction:
    """Return degrees Celsius, exactly: 40 F are 40/9 C."""
    return (exact(fahrenheit_degrees) - 32) * Fraction(5, 9)


def fahrenheit_difference(celsius: Number) -> Fraction:
    """Return a difference of temperatures in Fahrenheit degrees, exactly."""
    return exact(celsius) * Fraction(9, 5)


def miles(kilometres: Number) -> Fraction:
    """Return miles (or mph from km/h), exactly."""
    return exact(kilometres) / KM_PER_MILE


def kilometres(miles_given: Number) -> Fraction:
    """Return kilometres (or km/h from mph), exactly."""
    return exact(miles_given) * KM_PER_MILE


def inches(centimetres: Number) -> Fraction:
    """Return inches (or inches of rain from cm), exactly."""
    return exact(centimetres) / CM_PER_INCH


def pounds(kilograms: Number) -> Fraction:
    """Return pounds, exactly."""
    return exact(kilograms) / KG_PER_LB


FROM_STORED: dict[str, Callable[[Number], Fraction]] = {
    "F": fahrenheit,
    "mph": miles,
}
"""How a stored value (degrees Celsius, km/h) becomes the unit of a limit; other units stay."""


def in_unit(stored: Number, unit: str) -> Fraction:
    """Return a stored value in the unit of a limit."""
    return FROM_STORED.get(unit, exact)(stored)


def rounded(number: Number) -> int:
    """Return the nearest whole number, halves up, as published tables round."""
    return (exact(number) + Fraction(1, 2)).__floor__()


def plain(number: Number) -> str:
    """Return a number to one place, without a needless zero: 40, 4.4."""
    tenths = rounded(exact(number) * 10)
    return f"{tenths // 10}" if tenths % 10 == 0 else f"{tenths / 10:.1f}"
