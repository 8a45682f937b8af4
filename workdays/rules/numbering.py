"""Numbers of stones: as somebody types one, and a free one for a stone that has none."""

from __future__ import annotations

from collections.abc import Collection
from itertools import count
from string import ascii_lowercase

FOUND = "F"
LONGEST = 40


def typed_number(text: str) -> str:
    """Return a number typed into an address as it could be stored: one line, single blanks."""
    kept = "".join(letter for letter in text if letter.isprintable() or letter.isspace())
    return " ".join(kept.split())[:LONGEST]


def free_number(taken: Collection[str], *, near: str = "") -> str:
    """Return a number that no stone bears in any letters: A1-3a beside A1-3, else F1, F2 …"""
    borne = {number.casefold() for number in taken}
    beside = [f"{near}{letter}" for letter in ascii_lowercase] if near else []
    for number in beside:
        if len(number) <= LONGEST and number.casefold() not in borne:
            return number
    return next(f"{FOUND}{n}" for n in count(1) if f"{FOUND}{n}".casefold() not in borne)
