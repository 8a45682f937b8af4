"""The season as small bars of work done, a row each; the bars are the table.

Give ``draw(bars, title=…)`` to ``workdays/svg/_season.html`` as ``picture``.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class BarFacts:
    """One bar: its name, its value, and the value in words ("41 stones"); never below zero."""

    name: str
    value: float
    words: str


@dataclass(frozen=True)
class BarPlace:
    """One bar: its length in hundredths of the longest."""

    length: float
    facts: BarFacts


@dataclass(frozen=True)
class Picture:
    """Bars ready to be written."""

    title: str
    bars: tuple[BarPlace, ...]


def draw(bars: tuple[BarFacts, ...], *, title: str) -> Picture:
    """Return the bars, the longest 100 long. Raises ValueError below zero."""
    if any(bar.value < 0 for bar in bars):
        raise ValueError("work done is never below zero")
    longest = max((bar.value for bar in bars), default=0) or 1
    return Picture(title, tuple(BarPlace(round(100 * bar.value / longest, 1), bar) for bar in bars))
