"""Propose a number for a stone that has none: free, short, and beside its neighbour's."""

from __future__ import annotations

from collections.abc import Collection
from itertools import count
from string import ascii_lowercase

FOUND = "F"
LONGEST = 40


def free_number(taken: Collection[str], *, near: str = "") -> str:
    """Return a number that no stone bears in any letters: A1-3a beside A1-3, else F1, F2 …"""
    borne = {number.casefold() for number in taken}
    beside = [f"{near}{letter}" for letter in ascii_lowercase] if near else []
    for number in beside:
        if len(number) <= LONGEST and number.casefold() not in borne:
            return number
    return next(f"{FOUND}{n}" for n in count(1) if f"{FOUND}{n}".casefold() not in borne)
