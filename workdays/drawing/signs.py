"""The product's own signs: a stone as it stands, and the kinds of work.

Every sign is drawn in one box, 36 wide and 38 high, with the ground at y = 0 under the middle of
the stone and y pointing down, so that an obelisk looks taller than a footstone beside it.
A sign is read by its shape; colour only repeats what the shape says.
"""

import math
import re
from dataclasses import dataclass, replace
from functools import lru_cache

BOX = (-18.0, -35.0, 36.0, 38.0)
TILT_DEGREES = -15.0

Point = tuple[float, float]
Shape = tuple[Point, ...]

PAINT = {
    "edge": "",
    "full": ' fill="currentColor" fill-opacity=".24"',
    "gone": ' stroke-dasharray="2.7 2.1" stroke-linecap="butt"',
    "dots": ' stroke-width="2.3"',
    "crack": ' stroke-linejoin="miter"',
    "earth": "",
    "ring": "",
    "tool": "",
    "bob": ' fill="currentColor"',
}
"""How each stroke differs from ``BRUSH``; attributes, so that a sign needs no style sheet."""

BRUSH = (
    'fill="none" stroke="currentColor" stroke-width="1.7" stroke-linejoin="round" '
    'stroke-linecap="round"'
)
"""Attributes that the parent of the strokes carries."""


@dataclass(frozen=True)
class Stroke:
    """One path of a sign: ``d`` in the box, and the key of ``PAINT`` that says how it is drawn."""

    d: str
    kind: str


@dataclass(frozen=True)
class Sign:
    """A sign to draw: ``tone`` is the colour's class, ``words`` what it says when read aloud."""

    name: str
    tone: str
    words: str
    strokes: tuple[Stroke, ...]


def _arc(centre: Point, radii: Point, *, begin: int, end: int) -> list[Point]:
    """Return points on an ellipse from one angle to another, in degrees, 0 to the right."""
    steps = 8
    angles = [math.radians(begin + (end - begin) * i / steps) for i in range(steps + 1)]
    return [
        (centre[0] + radii[0] * math.cos(a), centre[1] + radii[1] * math.sin(a)) for a in angles
    ]


def _outline(stone_type: str) -> list[Point]:
    """Return the corners of a stone, from the lower left round to the lower right."""
    arch = _arc((0, -18), (8, 7), begin=180, end=360)
    head = _arc((0, -19), (5.5, 5.5), begin=180, end=360)
    shapes: dict[str, list[Point]] = {
        "tablet": [(-8, 0), *arch, (8, 0)],
        "shouldered": [(-9, 0), (-9, -14), (-5.5, -16.5), *head, (5.5, -16.5), (9, -14), (9, 0)],
        "obelisk": [
            *[(-9, 0), (-9, -4.5), (-6, -4.5), (-3.8, -28), (0, -33)],
            *[(3.8, -28), (6, -4.5), (9, -4.5), (9, 0)],
        ],
        "pedestal": [
            *[(-11, 0), (-11, -5), (-7.5, -5), (-7.5, -19), (-9.5, -19), (-9.5, -22.5)],
            *[(9.5, -22.5), (9.5, -19), (7.5, -19), (7.5, -5), (11, -5), (11, 0)],
        ],
        "ledger": [(-12, 0), (-12, -6.5), (12, -6.5), (12, 0)],
        "footstone": [(-5, 0), *_arc((0, -8), (5, 4), begin=180, end=360), (5, 0)],
        "flush": [(-8, 0), (-8, -4.5), (8, -4.5), (8, 0)],
        "other": [(-10, 0), (-11, -7), (-6, -15), (1, -18), (8, -14), (9, -6), (11, 0)],
    }
    return shapes[stone_type]


STONE_WORDS = {
    "tablet": "tablet",
    "shouldered": "shouldered tablet",
    "obelisk": "obelisk",
    "pedestal": "pedestal",
    "ledger": "ledger",
    "footstone": "footstone",
    "flush": "flush marker",
    "other": "other stone",
}
STATE_WORDS = {
    "leave_alone": "leave alone",
    "conservator": "conservator",
    "reset": "reset",
    "clean": "clean",
    "look_again": "look again",
    "sound": "sound",
    "not_seen": "not seen",
}
"""The states of a stone, gravest first: a stone that needs several things shows the first."""

WORK_WORDS = {
    "rake": "raking",
    "clean": "cleaning",
    "reset": "resetting",
    "survey": "survey",
    "record": "recording",
    "mend": "mending",
}

TONES = {
    "leave_alone": "stop",
    "conservator": "watch",
    "reset": "do",
    "clean": "do",
    "look_again": "ink",
    "sound": "ink",
    "not_seen": "ink",
}

OUTLINES: dict[str, Shape] = {name: tuple(_outline(name)) for name in STONE_WORDS}
"""Corners of each stone in order; curves are already cut into short sides."""


@dataclass(frozen=True)
class Badge:
    """A small shape with a letter or two in it, for a crew: ``word_y`` is where they stand.

    ``tone`` is its colour, which says nothing that shape and letters do not say.
    """

    name: str
    d: str
    word: str
    word_y: float
    tone: str = ""


BADGES = (
    ("M-8 0a8 8 0 1 0 16 0a8 8 0 1 0-16 0Z", 4.0),
    ("M-7.5-7.5h15v15h-15Z", 4.0),
    ("M0-10 9.5 7.5h-19Z", 5.5),
    ("M0-10.5 10.5 0 0 10.5-10.5 0Z", 4.0),
    ("M-4.5-8.5h9l4.5 8.5-4.5 8.5h-9l-4.5-8.5Z", 4.0),
    ("M-9-8.5h18l-3.5 17h-11Z", 3.5),
    ("M0-10 9-2.5 6 8.5H-6L-9-2.5Z", 4.5),
    ("M-8 8.5v-8.5a8 8 0 0 1 16 0v8.5Z", 5.5),
)
"""Shapes of crews, told apart without colour, and how far down the letters stand."""


@lru_cache(maxsize=256)
def badge(number: int, name: str) -> Badge:
    """Return the badge of a crew: its shape by its place in the list, its number from its name."""
    place = number % len(BADGES)
    d, word_y = BADGES[place]
    digits = "".join(letter for letter in name if letter.isdigit())
    return Badge(f"crew-{number}", d, (digits or name.strip())[:2], word_y, f"crew-tone-{place}")


def states(used: "set[str]") -> tuple[Sign, ...]:
    """Return one tablet for each state that occurs, gravest first, named by the state."""
    return tuple(
        replace(stone("tablet", state), words=words)
        for state, words in STATE_WORDS.items()
        if state in used
    )


def gravest(states: "set[str] | frozenset[str]") -> str:
    """Return the one state a stone shows out of those it has; ``sound`` for none."""
    return next((state for state in STATE_WORDS if state in states), "sound")


@lru_cache(maxsize=256)
def stone(stone_type: str, state: str) -> Sign:
    """Return the sign of a stone of a type in a state.

    An unknown type is drawn as ``other``, an unknown state as ``not_seen``: a page with a
    new word in it must still show the ground.
    """
    stone_type = stone_type if stone_type in STONE_WORDS else "other"
    state = state if state in STATE_WORDS else "not_seen"
    return Sign(
        name=f"{stone_type}-{state.replace('_', '-')}",
        tone=TONES[state],
        words=f"{STONE_WORDS[stone_type]}, {STATE_WORDS[state]}",
        strokes=(*_body(stone_type, state), *_ground_of(stone_type, state)),
    )


@lru_cache(maxsize=32)
def work(name: str) -> Sign:
    """Return the sign of a kind of work; an unknown one is an empty tablet."""
    words = WORK_WORDS.get(name, "work")
    if name in ("clean", "reset"):
        return Sign(f"work-{name}", "do", words, stone("tablet", name).strokes)
    edge = Stroke(path_of(OUTLINES["tablet"]), "edge")
    tools: dict[str, tuple[Stroke, ...]] = {
        "rake": (Stroke("M0-33V-7M-11-7H11M-11-7V1M-5.5-7V1M0-7V1M5.5-7V1M11-7V1", "tool"),),
        "survey": (
            edge,
            Stroke("M-4-33H11M11-33V-8", "tool"),
            Stroke("M11 0L8.2-5.5 11-9 13.8-5.5Z", "bob"),
        ),
        "record": (edge, Stroke("M-3.5-18.5H3.5M-4.5-13.5H4.5M-4.5-8.5H4.5", "tool")),
        "mend": (
            edge,
            Stroke("M-9-11L-5-13-1.5-9.5 2-12.5 5-9.5 9-11", "crack"),
            Stroke("M0-18.5V-4.5M-3-18.5H3M-3-4.5H3", "tool"),
        ),
    }
    return Sign(f"work-{name}", "do", words, tools.get(name, (edge,)))


def path_of(points: "Shape | list[Point]") -> str:
    """Return closed path data through points, with one decimal and no spare characters."""
    first, *rest = [f"{_short(x)} {_short(y)}" for x, y in points]
    return re.sub(r" (?=-)", "", f"M{first}L{' '.join(rest)}Z")


def turned(points: Shape, degrees: float) -> Shape:
    """Return points turned about the origin; a negative angle leans to the left."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return tuple((x * c - y * s, x * s + y * c) for x, y in points)


def inside(x: float, y: float, points: Shape) -> bool:
    """Return whether a point lies in a closed shape (even-odd rule)."""
    hit = False
    for (x1, y1), (x2, y2) in zip(points, (*points[1:], points[0]), strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            hit = not hit
    return hit


def _body(stone_type: str, state: str) -> tuple[Stroke, ...]:
    """Return the stone itself, drawn as its state asks."""
    shape = OUTLINES[stone_type]
    if state == "reset":
        return (Stroke(path_of(turned(shape, TILT_DEGREES)), "edge"),)
    outline = Stroke(path_of(shape), {"sound": "full", "leave_alone": "gone"}.get(state, "edge"))
    if state == "clean":
        return (outline, Stroke(_dots(shape), "dots"))
    if state == "conservator":
        return (outline, Stroke(_crack(shape), "crack"))
    return (outline,)


def _ground_of(stone_type: str, state: str) -> tuple[Stroke, ...]:
    """Return what lies at the foot: the ground line of a leaning or sunk stone, the small ring."""
    if state == "reset":
        return (Stroke("M-12 1H14", "earth"),)
    marks: list[Stroke] = []
    if stone_type == "flush":
        marks.append(Stroke("M-14-4.5H-8M8-4.5H14", "earth"))
    if state == "look_again":
        left = _short(max(x for x, y in OUTLINES[stone_type] if y > -5) + 1.6)
        marks.append(Stroke(f"M{left}-1a2.6 2.6 0 1 0 5.2 0a2.6 2.6 0 1 0-5.2 0Z", "ring"))
    return tuple(marks)


def _dots(shape: Shape) -> str:
    """Return dots spread over a shape, each a stroke of no length with a round cap."""
    tall = any(y < -9 for _, y in shape)
    rows = [-3.4 - 4 * i for i in range(8)] if tall else [-2.2, -4.4]
    marks = []
    for index, y in enumerate(rows):
        start = -11.5 if index % 2 else -13.8
        columns = [start + 4.6 * i for i in range(7)]
        marks += [f"M{_short(x)} {_short(y)}h.01" for x in columns if _well_inside(x, y, shape)]
    return "".join(marks)


def _well_inside(x: float, y: float, shape: Shape) -> bool:
    """Return whether a dot has a little room on all sides."""
    room = 1.3
    return all(inside(x + dx, y, shape) for dx in (-room, room)) and all(
        inside(x, y + dy, shape) for dy in (-room, room)
    )


def _crack(shape: Shape) -> str:
    """Return a broken line across the stone, a little wider than it."""
    height = -min(y for _, y in shape)
    y = -height * 0.5
    half = max(abs(x) for x, py in shape if py <= y) + 2
    lift = min(3.6, height * 0.3, half * 0.38)
    steps = [(-half, y), (-half * 0.45, y - lift), (0, y + lift * 0.7), (half * 0.4, y - lift)]
    return "M" + "L".join(f"{_short(px)} {_short(py)}" for px, py in [*steps, (half, y)])


def _short(value: float) -> str:
    """Return a number with at most one decimal."""
    return f"{value:.1f}".rstrip("0").rstrip(".").replace("-0.", "-.") or "0"
