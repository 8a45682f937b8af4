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


def turned(point: Point, about: Point, degrees: float) -> Point:
    """Return a point turned about another; positive is clockwise, as y points down."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = point[0] - about[0], point[1] - about[1]
    return about[0] + x * c - y * s, about[1] + x * s + y * c


def slope(outline: Sequence[Point], *, steepest: float = 8.0) -> float:
    """Return the slope of the topmost side in degrees; zero where it is too steep to write on."""
    sides = zip(outline, (*outline[1:], outline[0]), strict=True)
    (x1, y1), (x2, y2) = min(sides, key=lambda side: side[0][1] + side[1][1])
    if x2 < x1:
        x1, y1, x2, y2 = x2, y2, x1, y1
    angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
    return angle if abs(angle) <= steepest else 0.0


def nearest(points: Sequence[Point]) -> list[float]:
    """Return for each point how far the next one is, along the axis that parts them most.

    Empty for fewer than two points.
    """
    gaps = []
    for i, (x, y) in enumerate(points):
        others = (max(abs(x - a), abs(y - b)) for j, (a, b) in enumerate(points) if j != i)
        gaps.append(min(others, default=math.inf))
    return [gap for gap in gaps if gap < math.inf]


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
    places = [wanted, *(t + width for t in taken), *(t - width for t in taken)]
    free = [p for p in places if all(abs(p - t) >= width - 1e-9 for t in taken)]
    return min(free, key=lambda p: (abs(p - wanted), -p))
