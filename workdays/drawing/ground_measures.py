"""Which measures a plan can trust: a slip of the pen must not shrink a whole cemetery.

What cannot be where it says is set aside and drawn by its row, and a sentence names it.
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from workdays.drawing.ground_facts import SectionFacts, StoneFacts
from workdays.drawing.plane import Box, Point, box_of

FARTHEST_M = 2000.0
SPARE_M = 100.0
SPARE_OUTLINE_M = 30.0
TIMES_USUAL = 8
MOST_ON_A_SPOT = 4
MOST_NAMED = 5


def trusted(
    sections: Sequence[SectionFacts],
) -> tuple[tuple[SectionFacts, ...], tuple[str, ...]]:
    """Return the sections without measures that cannot be right, and a sentence for each reason."""
    notes: list[str] = []
    whole = [_whole(section) for section in sections]
    near, far = _without_far_sections(whole)
    notes += [f"The measures of {name} lie far from all others: set aside." for name in far]
    spots = _crowded(near)
    shown, strays, same = [], [], 0
    for section in near:
        odd = _strays(section)
        strays += [stone.number for i, stone in enumerate(section.stones) if i in odd]
        crowded = {i for i, s in enumerate(section.stones) if _spot(s) in spots} - odd
        same += len(crowded)
        shown.append(_without(section, odd | crowded))
    if strays:
        notes.append(f"Measured far from the rest of their section, set aside: {_named(strays)}.")
    if same:
        notes.append(f"{same} stones have the same measures as others: drawn by their rows.")
    return tuple(shown), tuple(notes)


def at(stone: StoneFacts) -> Point | None:
    """Return where a stone is, in metres with y to the south; None where nobody measured."""
    if stone.east_m is None or stone.north_m is None:
        return None
    return stone.east_m, -stone.north_m


def _whole(section: SectionFacts) -> SectionFacts:
    """Return a section without half measures, without numbers that are none."""
    broken = {
        i
        for i, stone in enumerate(section.stones)
        if not all(m is not None and math.isfinite(m) for m in (stone.east_m, stone.north_m))
    }
    kept = _without(section, broken)
    fine = len(section.outline) > 2 and all(math.isfinite(m) for p in section.outline for m in p)
    return kept if fine else replace(kept, outline=())


def _without(section: SectionFacts, which: set[int]) -> SectionFacts:
    """Return a section with the measures of some of its stones set aside."""
    if not which:
        return section
    stones = tuple(
        replace(stone, east_m=None, north_m=None) if i in which else stone
        for i, stone in enumerate(section.stones)
    )
    return replace(section, stones=stones)


def _without_far_sections(
    sections: Sequence[SectionFacts],
) -> tuple[list[SectionFacts], list[str]]:
    """Return the sections, those without measures that lie miles away; and the names of these."""
    middles = {i: _middle(points) for i, s in enumerate(sections) if (points := _points(s))}
    if not middles:
        return list(sections), []
    centre = _middle(list(middles.values()))
    far = {i for i, middle in middles.items() if _apart(middle, centre) > FARTHEST_M}
    kept = [
        replace(_without(s, set(range(len(s.stones)))), outline=()) if i in far else s
        for i, s in enumerate(sections)
    ]
    return kept, [sections[i].name for i in sorted(far)]


def _points(section: SectionFacts) -> list[Point]:
    """Return where the stones of a section were measured, or its corners if none was."""
    stones = [place for stone in section.stones if (place := at(stone))]
    return stones or [(east, -north) for east, north in section.outline]


def _middle(points: list[Point]) -> Point:
    """Return a middle that a few wild points cannot move."""
    half = (len(points) - 1) // 2
    return sorted(x for x, _ in points)[half], sorted(y for _, y in points)[half]


def _apart(one: Point, other: Point) -> float:
    return max(abs(one[0] - other[0]), abs(one[1] - other[1]))


def _strays(section: SectionFacts) -> set[int]:
    """Return which stones cannot be where they say: far outside the outline, or of all others."""
    places = {i: place for i, stone in enumerate(section.stones) if (place := at(stone))}
    if section.outline:
        box = _room(box_of([(east, -north) for east, north in section.outline]))
        return {i for i, (x, y) in places.items() if not _holds(box, x, y)}
    if len(places) < 2:
        return set()
    centre = _middle(list(places.values()))
    far = sorted(_apart(place, centre) for place in places.values())
    limit = max(SPARE_M, TIMES_USUAL * far[(len(far) - 1) * 3 // 4])
    return {i for i, place in places.items() if _apart(place, centre) > limit}


def _room(box: Box) -> Box:
    """Return a box with room on all sides for stones outside an outline that was only sketched."""
    spare = max(SPARE_OUTLINE_M, box.width, box.height)
    return Box(box.left - spare, box.top - spare, box.right + spare, box.bottom + spare)


def _holds(box: Box, x: float, y: float) -> bool:
    return box.left <= x <= box.right and box.top <= y <= box.bottom


def _spot(stone: StoneFacts) -> Point | None:
    place = at(stone)
    return place and (round(place[0], 2), round(place[1], 2))


def _crowded(sections: Sequence[SectionFacts]) -> set[Point | None]:
    """Return the spots that more stones claim than can stand there: typed once, copied down."""
    counts = Counter(spot for s in sections for stone in s.stones if (spot := _spot(stone)))
    return {spot for spot, count in counts.items() if count > MOST_ON_A_SPOT}


def _named(numbers: list[str]) -> str:
    more = len(numbers) - MOST_NAMED
    named = ", ".join(numbers[:MOST_NAMED])
    return f"{named} and {more} more" if more > 0 else named
