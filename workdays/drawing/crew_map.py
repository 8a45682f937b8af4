"""The little map of a crew: its sections, and its stones numbered in the order of work.

Black on white, so that it can be read when printed in grey. Fill ``CrewMapFacts`` and give
``draw(facts)`` to ``workdays/svg/_crew_map.html`` as ``picture``. A stone that nobody measured
stands where its row leads, or beside the others, and the picture says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from workdays.drawing.ground_facts import SectionFacts
from workdays.drawing.ground_layout import Laid, extent, lay_out, side_by_side
from workdays.drawing.ground_measures import trusted
from workdays.drawing.plane import Box, Point, box_of, spread
from workdays.drawing.words import shortened, width_of

WIDTH_PX, HEIGHT_PX = 600.0, 170.0
MARGIN_PX, FOOT_PX, TOP_PX = 18.0, 24.0, 38.0
MOST_PX_A_METRE = 32.0
LABEL_PX, LIFT_PX = 22.0, 17.0
TEXT_PX = 13.0
MOST_DOTS = 900
BARS_M = (1, 2, 5, 10, 20, 50, 100, 200, 500)
APART = "Sections stand nearer to each other here than on the ground."


@dataclass(frozen=True)
class StopFacts:
    """One job in the order of work; no ``stone``: it is for the section as a whole."""

    number: int
    section: str
    stone: str = ""


@dataclass(frozen=True)
class CrewMapFacts:
    """The sections in which a crew works, with all their stones, and its jobs in their order."""

    title: str
    sections: tuple[SectionFacts, ...] = ()
    stops: tuple[StopFacts, ...] = ()


@dataclass(frozen=True)
class StopPlace:
    """A label with its numbers, and the foot of the stone that it belongs to, in pixels."""

    x: float
    y: float
    left: float
    width: float
    words: str
    foot_x: float
    foot_y: float

    @property
    def top(self) -> float:
        """Return where the label begins."""
        return round(self.y - LABEL_PX / 2, 1)


@dataclass(frozen=True)
class SectionPlace:
    """A section's outline as points of a polygon, its name and where that stands."""

    points: str
    title: str
    x: float
    y: float


@dataclass(frozen=True)
class Picture:
    """A map ready to be written as SVG; lengths in pixels, ``left`` is where it begins.

    ``dots`` are the other stones as one path, ``way`` the walk from stop to stop. ``scale_px`` is
    zero where nothing was measured.
    """

    title: str
    left: float
    width: float
    height: float
    sections: tuple[SectionPlace, ...]
    stops: tuple[StopPlace, ...]
    dots: str
    way: str
    scale_px: float = 0.0
    scale_words: str = ""
    notes: tuple[str, ...] = ()

    @property
    def right(self) -> float:
        """Return where it ends on the right."""
        return self.left + self.width


@dataclass(frozen=True)
class _Pen:
    scale: float
    move: Point

    def at(self, place: Point) -> Point:
        """Return a place in metres as pixels."""
        return place[0] * self.scale + self.move[0], place[1] * self.scale + self.move[1]


def draw(facts: CrewMapFacts) -> Picture | None:
    """Return the map of a crew; None where it has no job on the ground."""
    sections, doubts = trusted(facts.sections)
    layout = lay_out(sections)
    laid, apart = _near(layout.laid)
    area = extent(laid)
    scale = _scale(area)
    pen = _Pen(scale, (MARGIN_PX - area.left * scale, TOP_PX - area.top * scale))
    walk = _walk(facts.stops, laid, pen)
    if not walk:
        return None
    stops = _labels(walk)
    left = min(0.0, *(stop.left - 4 for stop in stops))
    right = max(area.width * scale + 2 * MARGIN_PX, *(s.left + s.width + 4 for s in stops), 240)
    bar = _bar_m(scale)
    return Picture(
        title=facts.title,
        left=round(left),
        width=round(right - left),
        height=round(area.height * scale + TOP_PX + FOOT_PX + MARGIN_PX),
        sections=tuple(_section(one, pen) for one in laid),
        stops=stops,
        dots=_dots(laid, facts.stops, pen),
        way=_points([foot for _, foot in walk]),
        scale_px=round(bar * scale, 1) if layout.measured else 0.0,
        scale_words=f"{bar} m",
        notes=(*doubts, *layout.notes, *apart),
    )


def _near(laid: tuple[Laid, ...]) -> tuple[tuple[Laid, ...], tuple[str, ...]]:
    """Return sections moved together where the way between them would leave no room for stones."""
    if len(laid) < 2:
        return laid, ()
    close = side_by_side(laid)
    if _scale(extent(close)) < 1.5 * _scale(extent(laid)):
        return laid, ()
    return close, (APART,)


def _scale(area: Box) -> float:
    return min(WIDTH_PX / max(area.width, 1.0), HEIGHT_PX / max(area.height, 1.0), MOST_PX_A_METRE)


def _section(one: Laid, pen: _Pen) -> SectionPlace:
    outline = [pen.at(point) for point in one.outline]
    box = box_of(outline)
    title = shortened(one.title, max(box.width, 200.0), TEXT_PX, bold=True)
    return SectionPlace(_points(outline), title, round(box.left, 1), round(box.top - 22, 1))


def _labels(walk: Sequence[tuple[int, Point]]) -> tuple[StopPlace, ...]:
    """Return one label for each place, with the numbers of all its jobs, none upon another."""
    numbers: dict[Point, list[str]] = {}
    for number, foot in walk:
        numbers.setdefault(foot, []).append(str(number))
    words = [", ".join(found) for found in numbers.values()]
    widest = max(map(_label_width, words))
    wanted = [(x, y - LIFT_PX) for x, y in numbers]
    moved = spread(wanted, width=widest + 3, height=LABEL_PX + 2)
    return tuple(_label(*one) for one in zip(words, moved, numbers, strict=True))


def _label(words: str, at: Point, foot: Point) -> StopPlace:
    width = _label_width(words)
    x, y = round(at[0], 1), round(at[1], 1)
    return StopPlace(x, y, round(x - width / 2, 1), width, words, foot[0], foot[1])


def _label_width(words: str) -> float:
    return round(max(LABEL_PX, width_of(words, TEXT_PX, bold=True) + 9), 1)


def _walk(stops: Sequence[StopFacts], laid: Sequence[Laid], pen: _Pen) -> list[tuple[int, Point]]:
    """Return each job at the foot of its stone, or in the middle of its section, in pixels.

    A job whose stone stands in none of the sections is left out: the list still names it.
    """
    found = []
    for stop in stops:
        place = _place(stop, laid)
        if place is not None:
            x, y = pen.at(place)
            found.append((stop.number, (round(x, 1), round(y, 1))))
    return found


def _place(stop: StopFacts, laid: Sequence[Laid]) -> Point | None:
    for one in laid:
        if one.facts.name == stop.section:
            for stone, foot in zip(one.facts.stones, one.feet, strict=True):
                if stop.stone and stone.number == stop.stone:
                    return foot
            if not stop.stone:
                box = box_of(one.outline)
                return (box.left + box.right) / 2, (box.top + box.bottom) / 2
    return None


def _dots(laid: Sequence[Laid], stops: Sequence[StopFacts], pen: _Pen) -> str:
    """Return the other stones as dots of one path; too many to tell apart are left out."""
    meant = {stop.stone for stop in stops if stop.stone}
    feet = [
        pen.at(foot)
        for one in laid
        for stone, foot in zip(one.facts.stones, one.feet, strict=True)
        if stone.number not in meant
    ]
    if len(feet) > MOST_DOTS:
        return ""
    return "".join(f"M{round(x, 1):g} {round(y, 1):g}h.01" for x, y in feet)


def _points(points: Sequence[Point]) -> str:
    return " ".join(f"{round(x, 1):g},{round(y, 1):g}" for x, y in points)


def _bar_m(scale: float) -> int:
    """Return the round number of metres whose bar comes nearest to ninety pixels."""
    return min(BARS_M, key=lambda metres: abs(metres * scale - 90))
