"""What the page of a found stone can fill in beforehand."""

from typing import Any

from workdays.models import Cemetery
from workdays.rules.numbering import free_number


def free_number_at(cemetery: Cemetery, *, near: str = "") -> str:
    """Return a number that no stone of a cemetery bears."""
    taken = cemetery.stones.values_list("number", flat=True)
    return free_number(set(taken), near=near)


def proposal(cemetery: Cemetery, *, near: str) -> dict[str, Any]:
    """Return a free number and, beside a stone that is known, its section and row."""
    words = near.replace("\x00", "").strip()[:40]
    known = cemetery.stones.filter(number=words).first() if words else None
    if known is None:
        return {"number": free_number_at(cemetery)}
    return {
        "number": free_number_at(cemetery, near=known.number),
        "section": known.section_id,
        "row": known.row,
    }
