"""Exact conversions, so that a limit kept in its source's unit compares without rounding.

Factors: 1 mile = 1.609344 km, 1 inch = 2.54 cm and 1 lb = 0.45359237 kg are exact by the
international yard and pound agreement of 1959; Fahrenheit is exact by definition. 1 US gallon is
231 cubic inches, 1 cubic foot 1,728, both by definition.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

Number = int | float | Decimal | Fraction

KM_PER_MILE = Fraction(1609344, 1000000)
CM_PER_INCH = Fraction(254, 100)
KG_PER_LB = Fraction(45359237, 100000000)
LITRES_PER_CUBIC_INCH = CM_PER_INCH**3 / 1000
LITRES_PER_GALLON = 231 * LITRES_PER_CUBIC_INCH
LITRES_PER_CUBIC_FOOT = 1728 * LITRES_PER_CUBIC_INCH


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


CM_PER_UNIT = {
    "mm": Fraction(1, 10),
    "cm": Fraction(1),
    "m": Fraction(100),
    "in": CM_PER_INCH,
    "ft": 12 * CM_PER_INCH,
}
UNIT_WORDS = {
    "mm": "mm millimetre millimetres millimeter millimeters",
    "cm": "cm cms centimetre centimetres centimeter centimeters",
    "m": "m metre metres meter meters",
    "in": 'in ins inch inches "',
    "ft": "ft foot feet '",
}
UNIT_OF_WORD = {word: unit for unit, words in UNIT_WORDS.items() for word in words.split()}
# Marks that people and spreadsheets write for feet and inches, and fractions of one sign.
LOOKALIKES = str.maketrans("\u2032\u2018\u2019\u2033\u201c\u201d\u2044", "'''\"\"\"/")
ONE_SIGN = {"\u00bc": "1/4", "\u00bd": "1/2", "\u00be": "3/4"}
ONE_SIGN |= {"\u215b": "1/8", "\u215c": "3/8", "\u215d": "5/8", "\u215e": "7/8"}
NUMBER = re.compile(r"(?:(\d+) +)?(\d+)/(\d+)|(\d*[.,]\d+|\d+\.?)", re.ASCII)
LENGTH_PART = re.compile(rf"\s*({NUMBER.pattern})\s*([a-z]+\.?|'|\")?\s*", re.ASCII)
THOUSANDS = re.compile(r"\d+,\d{3}", re.ASCII)
LONGEST_LENGTH = 40


def length_cm(text: str, default_unit: str = "cm") -> Fraction:
    """Return centimetres, exactly, from a length as people write it.

    61, 61 cm, 0.61 m, 24 in, 24", 2 ft, 2' 3 1/2", with a comma for a point too; a bare number
    is in `default_unit`. Raises ValueError with a sentence for anything else, also for 1,200,
    which is a thousand to some and one to others.
    """
    written = text.strip().lower().translate(LOOKALIKES)
    for sign, words in ONE_SIGN.items():
        written = written.replace(sign, f" {words}")
    if not written or len(written) > LONGEST_LENGTH:
        raise ValueError(_how_to_write(text))
    if written.startswith("-"):
        raise ValueError("A length is not below zero.")
    if THOUSANDS.search(written):
        raise ValueError("Write the number without a comma: 1200, or 1.2.")
    return _sum_of_parts(text, written, default_unit)


def _sum_of_parts(text: str, written: str, default_unit: str) -> Fraction:
    """Feet may be followed by inches, and by nothing else."""
    at, total, before = 0, Fraction(0), ""
    while at < len(written):
        part = LENGTH_PART.match(written, at)
        unit = UNIT_OF_WORD.get((part[6] or "").rstrip("."), "") if part else ""
        if part is None or (part[6] and not unit) or (before and before != "ft"):
            raise ValueError(_how_to_write(text))
        unit = unit or ("in" if before else default_unit)
        if before and unit != "in":
            raise ValueError(_how_to_write(text))
        total += _number(part) * CM_PER_UNIT[unit]
        at, before = part.end(), unit
    return total


def _number(part: re.Match[str]) -> Fraction:
    whole, above, below, plain_number = part.group(2, 3, 4, 5)
    if plain_number:
        return Fraction(plain_number.replace(",", ".").rstrip("."))
    if int(below) == 0:
        raise ValueError("A fraction has no zero below its line.")
    return int(whole or 0) + Fraction(int(above), int(below))


def _how_to_write(text: str) -> str:
    shown = " ".join(text.split())[:LONGEST_LENGTH]
    return f"“{shown}” is no length: write 61 cm, 24 in, 2 ft or 2 ft 3 in."
