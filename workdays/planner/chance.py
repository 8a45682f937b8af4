"""Chance that is the same on every machine: a xorshift of 32 bits with a counter added.

After George Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (14), 2003 (shifts 13,
17, 5 and the counter of xorwow, from memory).
"""

from workdays.planner.board import Board
from workdays.planner.compiled import compiled

ALL = (1 << 32) - 1
COUNTER = 362437


@compiled
def dice(s: Board) -> float:
    """Return the next number from 0 up to, not including, 1."""
    x = s.seed[0]
    x ^= (x << 13) & ALL
    x ^= x >> 17
    x ^= (x << 5) & ALL
    s.seed[0] = x
    s.seed[1] = (s.seed[1] + COUNTER) & ALL
    return float((x + s.seed[1]) & ALL) / 4294967296.0


@compiled
def one_of(s: Board, count: int) -> int:
    """Return a place from 0 up to, not including, ``count``."""
    return int(dice(s) * count)
