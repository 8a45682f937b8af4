"""Days as people write them; the order of day and month is a choice for each column."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta
from typing import Literal

from workdays.spreadsheets.table import DAYS_FROM, Value

Order = Literal["mdy", "dmy"]
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[T ]\d{1,2}:\d{2}(?::\d{2})?)?")
NUMBERS = re.compile(r"(\d{1,2})[-/. ](\d{1,2})[-/. ](\d{4}|\d{2})\.?")
DAY_FIRST = re.compile(r"(\d{1,2})(?:st|nd|rd|th)?[-/. ]+([a-z]{3,9})\.?,?[-/. ]+(\d{4}|\d{2})")
MONTH_FIRST = re.compile(r"([a-z]{3,9})\.?[-/. ]+(\d{1,2})(?:st|nd|rd|th)?,?[-/. ]+(\d{4}|\d{2})")
SERIALS = range(20_000, 80_000)


class NotADayError(ValueError):
    """The cell is no day; the message says why, as the rest of a sentence."""


def day(value: Value, order: str, today: date, days_from: date = DAYS_FROM) -> date:
    """Return the day in a cell; ``order`` is "mdy" or "dmy", for what can be read both ways.

    ``days_from`` is the day that the file counts as number 0.
    """
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    if isinstance(value, bool) or value is None:
        raise NotADayError("is not a day")
    if isinstance(value, int | float):
        return _serial(value, days_from)
    text = " ".join(str(value).strip().lower().split())
    if re.fullmatch(r"\d{5}(?:\.0*)?", text):
        return _serial(float(text), days_from)
    return _written(text, order, today)


def _serial(number: float, days_from: date) -> date:
    if int(number) not in SERIALS:
        raise NotADayError("is not a day")
    return days_from + timedelta(days=int(number))


def _written(text: str, order: str, today: date) -> date:
    if found := ISO.fullmatch(text):
        year, month, on = (int(part) for part in found.groups())
        return _day(year, month, on)
    if found := NUMBERS.fullmatch(text):
        first, second = int(found[1]), int(found[2])
        month, on = (first, second) if order == "mdy" else (second, first)
        return _day(_year(found[3], today), month, on, order)
    if found := DAY_FIRST.fullmatch(text):
        return _day(_year(found[3], today), _month(found[2]), int(found[1]))
    if found := MONTH_FIRST.fullmatch(text):
        return _day(_year(found[3], today), _month(found[1]), int(found[2]))
    raise NotADayError("is not a day; write it like 2026-05-09")


def _day(year: int, month: int, on: int, order: str = "") -> date:
    try:
        return date(year, month, on)
    except ValueError:
        said = {"mdy": " when the month comes first", "dmy": " when the day comes first"}
        raise NotADayError(f"is no day of the calendar{said.get(order, '')}") from None


def _year(text: str, today: date) -> int:
    """Return a year; two digits are the last hundred years."""
    if len(text) == 4:
        return int(text)
    year = today.year // 100 * 100 + int(text)
    return year if year <= today.year else year - 100


def _month(word: str) -> int:
    if word[:3] not in MONTHS:
        raise NotADayError("is not a day; write it like 2026-05-09")
    return MONTHS.index(word[:3]) + 1


def guess_order(values: Iterable[Value]) -> tuple[Order, bool]:
    """Return the order that most cells want, and whether any cell had a say in it.

    Without a say: dots are read day first, all else month first.
    """
    mdy = dmy = dots = 0
    for value in values:
        found = NUMBERS.fullmatch(str(value).strip()) if isinstance(value, str) else None
        if not found:
            continue
        first, second = int(found[1]), int(found[2])
        mdy += second > 12 >= first
        dmy += first > 12 >= second
        dots += "." in str(value)
    if mdy or dmy:
        return ("mdy" if mdy >= dmy else "dmy"), True
    return ("dmy" if dots else "mdy"), False


def is_two_ways(value: Value) -> bool:
    """Return whether a cell is another day when day and month change places."""
    found = NUMBERS.fullmatch(value.strip()) if isinstance(value, str) else None
    return bool(found) and found[1] != found[2] and int(found[1]) < 13 and int(found[2]) < 13  # type: ignore[index]  # bool(found)
