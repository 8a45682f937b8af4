"""Compare the letters on a loose piece with what a stone is known to say.

Letters are written as in a reading (see ``reading``): ``MAR[Y]`` is not sure of the Y, ``[..]``
are two lost letters. On a piece a stroke parts its lines: ``ELOVED / 18[3]``. Blanks, points and
the size of letters say nothing: spacing on old stones is uneven.
"""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from workdays.rules.reading import Letters, Run, runs

LEAST_LETTERS = 3
LINE_END = re.compile(r"[/|\n]")
UNKNOWN_LENGTH = re.compile("…|\\.{3}")
LIGATURES = str.maketrans({"æ": "ae", "œ": "oe", "ø": "o", "þ": "th"})

Row = tuple[str | None, ...]
"""Letters in small form, in order; None stands for one that was not read for sure."""


@dataclass(frozen=True, slots=True)
class Match:
    """Letters of a piece that stand in a text: ``sure`` of them were read for sure on both."""

    sure: int
    piece_line: str
    text: str


def rows_of_piece(letters: str) -> list[tuple[str, Row]]:
    """Return the lines of a piece that bear letters, as written and as rows."""
    lines = [line.strip() for line in LINE_END.split(letters)]
    rows = [(line, row_of(line)) for line in lines if line]
    return [(line, row) for line, row in rows if row]


@lru_cache(maxsize=8192)  # a page compares many pieces with the same lines
def row_of(line: str) -> Row:
    """Return a line as letters; where brackets do not pair, the brackets are left out."""
    row: list[str | None] = []
    for run in _runs(line):
        if run.letters is Letters.LOST:
            row += [None] * run.text.count(".")
        elif run.letters is Letters.DOUBTFUL:
            row += [None] * len(_folded(run.text))
        else:
            row += _folded(run.text)
    return tuple(row)


def says_little(letters: str) -> bool:
    """Return whether no line of a piece has enough letters that are sure."""
    rows = (row for _line, row in rows_of_piece(letters))
    return all(sum(one is not None for one in row) < LEAST_LETTERS for row in rows)


def best_match(letters: str, texts: Iterable[str]) -> Match | None:
    """Return the match with most letters that are sure; the first of those that are equal.

    None where no line of the piece has three such letters anywhere. All letters of a line must
    agree where both were read for sure; a doubtful or lost one agrees with any.
    """
    lines = rows_of_piece(letters)
    found = [
        Match(sure, line, text)
        for text in texts
        for part in UNKNOWN_LENGTH.split(text)
        for row in [row_of(part)]
        for line, piece in lines
        if (sure := most_sure(piece, row)) >= LEAST_LETTERS
    ]
    return max(found, key=lambda match: match.sure, default=None)


def most_sure(one: Sequence[str | None], other: Sequence[str | None]) -> int:
    """Return how many sure letters agree where the shorter row lies best in the longer."""
    short, long = sorted((one, other), key=len)
    places = range(len(long) - len(short) + 1)
    return max((_agree(short, long[at : at + len(short)]) for at in places), default=0)


def _agree(one: Sequence[str | None], other: Sequence[str | None]) -> int:
    sure = [(a, b) for a, b in zip(one, other, strict=True) if a is not None and b is not None]
    return len(sure) if all(a == b for a, b in sure) else 0


def _runs(line: str) -> tuple[Run, ...]:
    try:
        return runs(line)
    except ValueError:
        return runs(line.replace("[", "").replace("]", ""))


def _folded(text: str) -> list[str]:
    """Return letters and figures without accents, in small form."""
    small = unicodedata.normalize("NFKD", text.casefold().translate(LIGATURES))
    return [letter for letter in small if letter.isalnum()]
