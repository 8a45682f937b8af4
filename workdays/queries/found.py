"""What the pages of a found stone and of a loose piece can fill in beforehand."""

from datetime import datetime
from typing import Any

from workdays.models import Cemetery, Stone
from workdays.queries.ground import today_at
from workdays.rules.numbering import free_number, typed_number
from workdays.rules.pieces import free_tag


def free_number_at(cemetery: Cemetery, *, near: str = "") -> str:
    """Return a number that no stone of a cemetery bears."""
    taken = cemetery.stones.values_list("number", flat=True)
    return free_number(set(taken), near=near)


def proposal(cemetery: Cemetery, *, near: str) -> dict[str, Any]:
    """Return a free number and, beside a stone that is known, its section and row."""
    known = _beside(cemetery, near)
    if known is None:
        return {"number": free_number_at(cemetery)}
    return {
        "number": free_number_at(cemetery, near=known.number),
        "section": known.section_id,
        "row": known.row,
    }


def piece_proposal(cemetery: Cemetery, *, near: str, now: datetime) -> dict[str, Any]:
    """Return a free tag, the day and, beside a stone that is known, the place of that stone."""
    taken = set(cemetery.pieces.values_list("tag", flat=True))
    values = {"tag": free_tag(taken), "found_on": today_at(cemetery, now=now)}
    known = _beside(cemetery, near)
    if known is None:
        return values
    place = {"place": f"beside stone {known.number}", "section": known.section_id}
    return values | place | {"east_m": known.east_m, "north_m": known.north_m}


def _beside(cemetery: Cemetery, near: str) -> Stone | None:
    number = typed_number(near)
    return cemetery.stones.filter(number=number).first() if number else None
