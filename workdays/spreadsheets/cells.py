"""One cell as the value of its field, or a sentence that says why not."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from workdays.rules.units import CM_PER_INCH, rounded
from workdays.spreadsheets import days, lengths, texts
from workdays.spreadsheets.fields import Field, Sort
from workdays.spreadsheets.table import DAYS_FROM, Flaw, Value, short, shown
from workdays.spreadsheets.words import IGNORED, NONE_SEEN, allowed_words, meaning, parts

WHOLE = re.compile(r"[+-]?\d+(?:\.0+)?")
NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+)(?:e[+-]?\d{1,3})?", re.IGNORECASE)
DEGREES = re.compile(r"\s*(?:°|deg(?:rees?|s)?\.?|º)\s*$", re.IGNORECASE)
UPRIGHT = {"upright", "plumb", "none", "straight"}
METRES_PER_FOOT = CM_PER_INCH * 12 / 100


class NotReadError(ValueError):
    """A cell cannot be read; the message is the rest of a sentence after the cell's words."""


class OutOfBoundsError(NotReadError):
    """A cell was read as a value that is absurd; ``value`` is it."""

    def __init__(self, words: str, value: Any) -> None:
        super().__init__(words)
        self.value = value


class UnknownWordError(NotReadError):
    """A cell holds words that nobody knows."""

    def __init__(self, field: str, unknown: list[str]) -> None:
        self.unknown = unknown
        one = "is a word" if len(unknown) == 1 else "are words"
        named = ", ".join(f"“{short(word)}”" for word in unknown)
        super().__init__(f"{named} {one} not known here; known are: {allowed_words(field)}.")


@dataclass(frozen=True, slots=True)
class Reading:
    """How the cells of one column are read."""

    field: Field
    reads_as: str
    own_words: Mapping[str, str]
    today: date
    days_from: date = DAYS_FROM


def read_cell(value: Value, how: Reading) -> Any:
    """Return the value of a cell that is not blank; None when it says nothing after all.

    Raises NotReadError with the reason.
    """
    if isinstance(value, Flaw):
        raise NotReadError(f"holds {value.words}")
    return READERS[how.field.sort](value, how)


def _text(value: Value, how: Reading) -> str | None:
    if isinstance(value, date) and how.field.key in {"number", "section"}:
        raise NotReadError("is a day; your spreadsheet program may have made it one")
    text = texts.original(shown(value))
    found = texts.line(text) if how.field.sort is Sort.LINE else texts.paragraph(text)
    if len(found) > how.field.most:
        raise OutOfBoundsError(f"is longer than {how.field.most} letters", found)
    return found or None


def _whole(value: Value, how: Reading) -> int:
    if how.field.key == "year_on_stone" and isinstance(value, date):
        return _bounded(value.year, how)
    if isinstance(value, int) and not isinstance(value, bool):
        return _bounded(value, how)
    if isinstance(value, float):
        if value != value // 1:
            raise NotReadError("is not a whole number")
        return _bounded(int(value), how)
    text = str(value).strip()
    if how.field.key == "lean_degrees":
        text = "0" if text.lower() in UPRIGHT else DEGREES.sub("", text)
    if isinstance(value, bool) or not WHOLE.fullmatch(text) or len(text) > 15:
        raise NotReadError("is not a whole number")
    return _bounded(int(text.split(".")[0]), how)


def _bounded(number: int, how: Reading) -> int:
    field = how.field
    if field.key == "year_on_stone" and number > how.today.year:
        raise OutOfBoundsError("is a year to come", number)
    if not field.low <= number <= field.high:
        raise OutOfBoundsError(f"is out of bounds: {_bounds(field)}", number)
    return number


def _bounds(field: Field, unit: str = "") -> str:
    return f"give {field.low:g} to {field.high:g}{unit}"


def _length(value: Value, how: Reading) -> int:
    exact = _centimetres(value, how.reads_as)
    found = rounded(exact)
    if not how.field.low <= found <= how.field.high:
        metres = float(exact) / 100
        raise OutOfBoundsError(f"would be {metres:,.6g} m: {_bounds(how.field, ' cm')}", found)
    return found


def _centimetres(value: Value, reads_as: str) -> Fraction:
    if isinstance(value, bool | date):
        raise NotReadError("is not a length")
    try:
        if isinstance(value, int | float):
            return lengths.from_number(value, reads_as)
        return lengths.from_text(texts.original(str(value)), reads_as)
    except lengths.NotALengthError as error:
        raise NotReadError(str(error)) from None


def _decimal(value: Value) -> Fraction:
    if isinstance(value, bool | date):
        raise NotReadError("is not a number")
    text = shown(value).strip() if not isinstance(value, float) else repr(value)
    if not NUMBER.fullmatch(text):
        raise NotReadError("is not a number")
    return Fraction(text.replace(",", "."))


def _metres(value: Value, how: Reading) -> float:
    number = _decimal(value)
    found = float(number * METRES_PER_FOOT if how.reads_as == "ft" else number)
    if not how.field.low <= found <= how.field.high:
        raise OutOfBoundsError(f"is out of bounds: {_bounds(how.field, ' m')}", found)
    return found


def _degrees(value: Value, how: Reading) -> Decimal:
    text = value.strip() if isinstance(value, str) else value
    turned = False
    if isinstance(text, str):
        turned = text[-1:].upper() in {"S", "W"}
        text = DEGREES.sub("", text.rstrip("NSEWnsew "))
    number = -_decimal(text) if turned else _decimal(text)
    if not how.field.low <= number <= how.field.high:
        raise OutOfBoundsError(f"is out of bounds: {_bounds(how.field, ' degrees')}", number)
    return Decimal(rounded(number * 10**how.field.places)).scaleb(-how.field.places)


def _day(value: Value, how: Reading) -> date:
    try:
        found = days.day(value, how.reads_as, how.today, how.days_from)
    except days.NotADayError as error:
        raise NotReadError(str(error)) from None
    return found


def _word(value: Value, how: Reading) -> str | None:
    text = texts.original(shown(value))
    found = meaning(how.field.key, text, how.own_words)
    if found is None:
        raise UnknownWordError(how.field.key, [texts.line(text)])
    return None if found == IGNORED else found


def _words(value: Value, how: Reading) -> list[str] | None:
    """Return signs in their order; an empty list when the cell says that none were seen."""
    named = [
        (part, meaning(how.field.key, part, how.own_words))
        for part in parts(texts.original(shown(value)))
    ]
    unknown = [part for part, meant in named if meant is None]
    if unknown:
        raise UnknownWordError(how.field.key, unknown)
    found = sorted({meant for _, meant in named if meant and meant != IGNORED})
    if NONE_SEEN in found and len(found) > 1:
        raise NotReadError("says that nothing was seen, and something else")
    if found == [NONE_SEEN]:
        return []
    return found or None


READERS: dict[Sort, Callable[[Value, Reading], Any]] = {
    Sort.LINE: _text,
    Sort.TEXT: _text,
    Sort.WHOLE: _whole,
    Sort.LENGTH: _length,
    Sort.METRES: _metres,
    Sort.DEGREES: _degrees,
    Sort.DAY: _day,
    Sort.WORD: _word,
    Sort.WORDS: _words,
}
