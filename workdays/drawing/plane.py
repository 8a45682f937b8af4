"""Plain geometry for the drawings: boxes, turning, gaps, and moving things apart. y points down."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Point = tuple[float, float]


@dataclass(frozen=True)
class Box:
    """A rectangle along the axes."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """Return the width."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Return the height."""
        return self.bottom - self.top

    def joined(self, other: "Box") -> "Box":
        """Return the box around both."""
        return Box(
            min(self.left, other.left),
            min(self.top, other.top),
            max(self.right, other.right),
            max(self.bottom, other.bottom),
        )


def box_of(points: Iterable[Point]) -> Box:
    """Return the box around points. Raises ValueError if there are none."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def corners(box: Box) -> tuple[Point, ...]:
    """Return the corners from the upper left, clockwise."""
    return (
        (box.left, box.top),
        (box.right, box.top),
        (box.right, box.bottom),
        (box.left, box.bottom),
    )


def inside_of(corner: Sequence[Point], across: float, down: float) -> Point:
    """Return the point so far across and down four corners, each part from 0 to 1."""
    (ax, ay), (bx, by), (cx, cy), (dx, dy) = corner
    top = ax + (bx - ax) * across, ay + (by - ay) * across
    foot = dx + (cx - dx) * across, dy + (cy - dy) * across
    return top[0] + (foot[0] - top[0]) * down, top[1] + (foot[1] - top[1]) * down


def sides_of(outline: Sequence[Point]) -> list[tuple[Point, Point]]:
    """Return the sides of an outline, each as its two ends."""
    return list(zip(outline, (*outline[1:], outline[0]), strict=True))


def turned(point: Point, about: Point, degrees: float) -> Point:
    """Return a point turned about another; positive is clockwise, as y points down."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = point[0] - about[0], point[1] - about[1]
    return about[0] + x * c - y * s, about[1] + x * s + y * c


def slope(outline: Sequence[Point], *, steepest: float = 8.0) -> float:
    """Return the slope of the topmost side in degrees; zero where it is too steep to write on."""
    (x1, y1), (x2, y2) = min(sides_of(outline), key=lambda side: side[0][1] + side[1][1])
    if x2 < x1:
        x1, y1, x2, y2 = x2, y2, x1, y1
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    return angle if abs(angle) <= steepest else 0.0


def nearest(points: Sequence[Point]) -> list[float]:
    """Return for each point how far the next one is, along the axis that parts them most.

    Empty for fewer than two points. Points are looked up by squares, so that many take no longer
    each than few.
    """
    if len(points) < 2:
        return []
    box = box_of(points)
    side = max(box.width, box.height) / math.sqrt(len(points)) or 1.0
    squares: dict[tuple[int, int], list[int]] = {}
    for i, (x, y) in enumerate(points):
        squares.setdefault((math.floor(x / side), math.floor(y / side)), []).append(i)
    return [_gap(i, points, squares, side) for i in range(len(points))]


def _gap(
    i: int, points: Sequence[Point], squares: dict[tuple[int, int], list[int]], side: float
) -> float:
    """Return how far the next point is: its own square first, then ring by ring."""
    x, y = points[i]
    column, row = math.floor(x / side), math.floor(y / side)
    best, ring = math.inf, 0
    while best > max(ring - 1, 0) * side or ring < 2:
        for square in _ring(column, row, ring):
            for j in squares.get(square, ()):
                if j != i:
                    best = min(best, max(abs(x - points[j][0]), abs(y - points[j][1])))
        ring += 1
    return best


def _ring(column: int, row: int, ring: int) -> list[tuple[int, int]]:
    """Return the squares so many steps away from one."""
    if ring == 0:
        return [(column, row)]
    steps = range(-ring, ring + 1)
    across = [(column + d, row + e) for d in steps for e in (-ring, ring)]
    return across + [(column + e, row + d) for d in steps[1:-1] for e in (-ring, ring)]


def spread(points: Sequence[Point], *, width: float, height: float) -> list[Point]:
    """Return points moved sideways as little as needed so that no two share a cell.

    Afterwards any two differ by at least ``width`` across or ``height`` down. Order is kept.
    """
    bands: dict[int, list[Point]] = {}
    placed: dict[int, Point] = {}
    for index in sorted(range(len(points)), key=lambda i: (points[i][1], points[i][0], i)):
        x, y = points[index]
        band = math.floor(y / height)
        near = [
            p
            for b in (band - 1, band, band + 1)
            for p in bands.get(b, [])
            if abs(p[1] - y) < height
        ]
        placed[index] = (_free_x(x, [p[0] for p in near], width), y)
        bands.setdefault(band, []).append(placed[index])
    return [placed[i] for i in range(len(points))]


def _free_x(wanted: float, taken: list[float], width: float) -> float:
    """Return the place nearest to the wanted one that keeps its distance from those taken."""
    taken = sorted(taken)
    right = left = wanted
    for place in taken:
        if abs(place - right) < width - 1e-9:
            right = place + width
    for place in reversed(taken):
        if abs(place - left) < width - 1e-9:
            left = place - width
    return left if wanted - left < right - wanted - 1e-9 else right
