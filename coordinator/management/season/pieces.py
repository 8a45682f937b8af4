"""Three loose pieces of the season: one at its stone, one that two may have lost, one of none."""

from collections.abc import Sequence
from datetime import date, datetime, timedelta
from io import BytesIO
from itertools import combinations
from typing import Any

from coordinator.management.season.drawn import fragment
from coordinator.models import Person
from workdays.actions.pieces import PicturesOfPiece, judge_fit, log_piece
from workdays.models import Cemetery, LoosePiece, Stone
from workdays.pictures import reduced

BROKEN = '"broken_through"'
SLABS = (Stone.Type.TABLET, Stone.Type.SHOULDERED)


def make(hill: Cemetery, *, by: Person, now: datetime, today: date) -> None:
    """Note the pieces as somebody would who walks along the wall after a survey."""
    broken = hill.stones.filter(type__in=SLABS, surveys__signs__icontains=BROKEN)
    stones = list(broken.distinct().order_by("pk"))
    if len(stones) < 3:
        return
    one, other = _alike(stones)
    own = next(stone for stone in stones if stone.pk not in (one.pk, other.pk))
    placed = _log(hill, _of(own, letters=_letters(own), found_on=today - timedelta(70)), by, now)
    judge_fit(placed, own, fits=True, why="The break runs on, and the letters do.", by=by, now=now)
    between = {
        "place": "at the wall, leaning against it",
        "letters": "",
        "section": None,
        "found_on": today - timedelta(20),
        "edges": "left and top finished, right and foot broken",
    }
    _log(hill, _of(one) | between, by, now)
    _log(
        hill,
        {
            "place": "in the shed, on the shelf with the lamps",
            "found_on": today - timedelta(200),
            "material": Stone.Material.SLATE,
            "thickness_cm": 3.2,
            "letters": "GONE / H[.]ME",
            "notes": "Nobody remembers where it lay.",
        },
        by,
        now,
    )


def _alike(stones: Sequence[Stone]) -> tuple[Stone, Stone]:
    """Return two broken stones that the same piece could come from, or the first two."""
    for one, other in combinations(stones, 2):
        near = abs((one.thickness_cm or 0) - (other.thickness_cm or 0)) <= 1
        if one.material == other.material and near:
            return one, other
    return stones[0], stones[1]


def _of(stone: Stone, **said: Any) -> dict[str, Any]:
    """Return a piece as somebody measures it that broke off this stone and lies near it."""
    return {
        "place": f"in the grass behind stone {stone.number}",
        "section": stone.section,
        "material": stone.material,
        "thickness_cm": (stone.thickness_cm or 7) + 0.3,
        "width_cm": 24.0,
        "height_cm": 31.5,
        "east_m": _beside(stone.east_m, 1.2),
        "north_m": _beside(stone.north_m, 0.9),
    } | said


def _beside(metres: float | None, more: float) -> float | None:
    return None if metres is None else round(metres + more, 1)


def _letters(stone: Stone) -> str:
    family = stone.name_on_stone.split()[-1].upper()
    return f"{family} / {stone.year_on_stone or ''}".rstrip(" /")


def _log(hill: Cemetery, values: dict[str, Any], by: Person, now: datetime) -> LoosePiece:
    tag = f"L{hill.pieces.count() + 1}"
    letters = str(values.get("letters", ""))
    drawn = fragment(str(values["material"]), letters, seed=f"{hill.slug} {tag}")
    pictures = PicturesOfPiece([reduced(BytesIO(drawn))])
    return log_piece(hill, values | {"tag": tag}, pictures, by=by, now=now)
