"""Lengths as people write them: 24", 2' 6", 2 ft 6 in, 61 cm, 0.61 m, 24 1/2."""

from __future__ import annotations

import re
from fractions import Fraction

from workdays.rules.units import CM_PER_INCH

CM: dict[str, Fraction] = {
    "in": CM_PER_INCH,
    "ft": CM_PER_INCH * 12,
    "cm": Fraction(1),
    "mm": Fraction(1, 10),
    "m": Fraction(100),
}
UNIT_WORDS = {
    "in": ("in", "ins", "inch", "inches", '"', "''"),
    "ft": ("ft", "foot", "feet", "'"),
    "cm": ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "mm": ("mm", "millimetres", "millimeters"),
    "m": ("m", "mtr", "metre", "metres", "meter", "meters"),
}
BY_WORD = {word: unit for unit, words in UNIT_WORDS.items() for word in words}
_UNIT = "|".join(re.escape(word) for word in sorted(BY_WORD, key=len, reverse=True))
_NUMBER = r"\d+\s*[- ]\s*\d+/\d+|\d+/\d+|\d*[.,]\d+|\d+[.,]?"
PART = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>{_UNIT})?\.?\s*", re.IGNORECASE)
# Quotation marks and primes that stand for feet and inches.
QUOTES = str.maketrans(
    {"″": '"', "”": '"', "“": '"', "′": "'", "’": "'", "‘": "'", "´": "'"}  # noqa: RUF001  # they are meant
)
VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
MOST_LETTERS = 40


class NotALengthError(ValueError):
    """The cell is no length; the message says why, as the rest of a sentence."""


def centimetres(text: str, unit: str) -> Fraction:
    """Return centimetres, exactly. ``unit`` is for a number without one; "" when it needs one."""
    rest = _plain(text)
    if not rest or len(rest) > MOST_LETTERS:
        raise NotALengthError("is not a length")
    total, last = Fraction(0), ""
    while rest:
        found = PART.match(rest)
        if not found:
            raise NotALengthError("is not a length")
        word = (found["unit"] or "").lower()
        own = BY_WORD[word] if word else _following(last, unit, whole=found.end() == len(rest))
        if last and not _smaller(own, last):
            raise NotALengthError("is not a length")
        total += number(found["number"]) * CM[own]
        rest, last = rest[found.end() :], own
    return total


def has_unit(text: str) -> bool:
    """Return whether a text names its own unit."""
    return bool(re.search(rf"\d\s*(?:{_UNIT})\.?\s*$", _plain(text), re.IGNORECASE))


def number(text: str) -> Fraction:
    """Return a number as written: 24, 24.5, 24,5, 1/2, 24 1/2."""
    text = text.strip()
    if "/" in text:
        *whole, part = re.split(r"[\s-]+", text)
        above, below = part.split("/")
        if int(below) == 0:
            raise NotALengthError("divides by nothing")
        return sum((Fraction(int(one)) for one in whole if one), Fraction(int(above), int(below)))
    if re.fullmatch(r"\d{1,3},\d{3}", text):
        raise NotALengthError("can be read in two ways: write it without the comma")
    return Fraction(text.replace(",", ".").rstrip("."))


def _plain(text: str) -> str:
    text = text.strip().translate(QUOTES)
    for sign, words in VULGAR.items():
        text = text.replace(sign, f" {words}")
    return text.strip()


def _following(last: str, unit: str, *, whole: bool) -> str:
    """Return the unit of a number without one: inches after feet (5' 6), else the column's."""
    if last == "ft" and whole:
        return "in"
    if last or not unit:
        raise NotALengthError("has no unit" if not last else "is not a length")
    return unit


def _smaller(unit: str, than: str) -> bool:
    return (than, unit) in {("ft", "in"), ("m", "cm"), ("cm", "mm")}
