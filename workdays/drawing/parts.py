"""Cut a section with too many stones for one page into parts, by rows where rows are known."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from workdays.drawing.ground_facts import StoneFacts


@dataclass(frozen=True)
class Part:
    """Some of a section's stones, and what they are called: "rows 1 to 12"."""

    name: str
    stones: tuple[StoneFacts, ...]


def parts_of(stones: Sequence[StoneFacts], *, most: int) -> tuple[Part, ...]:
    """Return the stones in parts of at most so many, in the order of a walk; none for none.

    A row is cut only if it alone is too long; stones of no known row come last, by number.
    """
    ordered = sorted(stones, key=_walk)
    parts: list[list[StoneFacts]] = []
    for _, group in groupby(ordered, key=lambda stone: stone.row):
        row = list(group)
        if parts and len(parts[-1]) + len(row) <= most and _alike(parts[-1][-1], row[0]):
            parts[-1] += row
        else:
            parts += [row[i : i + most] for i in range(0, len(row), most)]
    return tuple(Part(_name(part, ordered), tuple(part)) for part in parts)


def natural(number: str) -> tuple[tuple[int, int, str], ...]:
    """Return what sorts numbers as people write them: A2 before A10."""
    pieces = re.findall(r"[0-9]{1,9}|[^0-9]+|[0-9]", number)
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in pieces)


def _walk(stone: StoneFacts) -> tuple[object, ...]:
    unknown = stone.row is None
    place = -1 if unknown or stone.position is None else stone.position
    return (unknown, stone.row or 0, place, natural(stone.number))


def _alike(one: StoneFacts, other: StoneFacts) -> bool:
    return (one.row is None) == (other.row is None)


def _name(part: Sequence[StoneFacts], everything: Sequence[StoneFacts]) -> str:
    """Return a part's name; numbers are added where a row goes on in another part."""
    first, last = part[0].row, part[-1].row
    ends = f"{part[0].number} to {part[-1].number}"
    if first is None:
        return f"no row noted, {ends}"
    if first != last:
        return f"rows {first} to {last}"
    whole = sum(stone.row == first for stone in everything) == len(part)
    return f"row {first}" if whole else f"row {first}, {ends}"
