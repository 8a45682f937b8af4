"""Amounts as people load them: gallons, litres, cubic feet, kilograms and pounds, rounded up."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from workdays.rules.units import (
    LITRES_PER_CUBIC_FOOT,
    LITRES_PER_GALLON,
    Number,
    exact,
    plain,
    pounds,
)

OUNCES_PER_GALLON = 128
DRY_KG_PER_LITRE = Fraction(8, 5)
"""Gravel and sand as they lie: common practice, no source."""


def up(number: Number) -> str:
    """Return a number rounded up: to tenths below nine, else whole."""
    value = exact(number)
    return plain(Fraction(ceil(value * 10), 10)) if value <= 9 else f"{ceil(value):,}"


def named(number: Number, one: str) -> str:
    """Return "1 US gallon" or "5.6 US gallons", rounded up; feet for "foot"."""
    figure = up(number)
    many = one.replace("foot", "feet") if "foot" in one else f"{one}s"
    return f"{figure} {one if figure == '1' else many}"


def liquid(litres: Number) -> str:
    """Return "9 US gallons (35 litres)", or "1.1 fl oz (31 ml)" below a litre."""
    value = exact(litres)
    gallons = value / LITRES_PER_GALLON
    if value < 1:
        return f"{up(gallons * OUNCES_PER_GALLON)} fl oz ({ceil(value * 1000)} ml)"
    return f"{named(gallons, 'US gallon')} ({named(value, 'litre')})"


def dry(litres: Number) -> str:
    """Return "1.7 cubic feet (46 litres), about 74 kg or 162 lb"."""
    value = exact(litres)
    kg = ceil(value * DRY_KG_PER_LITRE)
    volume = named(value / LITRES_PER_CUBIC_FOOT, "cubic foot")
    return f"{volume} ({named(value, 'litre')}), about {kg:,} kg or {ceil(pounds(kg)):,} lb"


def water_weight(litres: Number) -> str:
    """Return what water weighs, a kilogram a litre: "about 186 kg or 411 lb"."""
    kg = ceil(exact(litres))
    return f"about {kg:,} kg or {ceil(pounds(kg)):,} lb"
