"""A cemetery as a plan: sections as outlines, every stone at its place, drawn by what it needs.

Fill ``GroundFacts`` and give ``draw(facts)`` to ``workdays/svg/_ground.html`` as ``picture``.
A stone with metres stands where it was measured; one without stands in its row at its position;
a section in which nothing was measured is laid out beside the others, and the picture says so.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from workdays.drawing import signs
from workdays.drawing.ground_facts import (
    CrewFacts,
    GroundFacts,
    LandmarkFacts,
    SectionFacts,
    StoneFacts,
)
from workdays.drawing.ground_layout import (
    PITCH_M,
    Laid,
    Layout,
    extent,
    lay_out,
    side_by_side,
)
from workdays.drawing.ground_measures import trusted
from workdays.drawing.plane import Box, Point, box_of, nearest, slope, spread
from workdays.drawing.words import shortened, width_of

CELL_PX = 36.0
NARROWEST_PX = 330.0
MARGIN_PX = 20.0
FOOT_PX = 64.0
TITLE_PX = 20
METRES_IN_A_FOOT = 0.3048
SAME_SPOT_M = 0.2
BARS_FT = (5, 10, 20, 30, 50, 100, 200, 300, 500, 1000)
APART = "Sections stand nearer to each other here than on the ground."


@dataclass(frozen=True)
class Room:
    """How much room a plan has, in pixels: for one stone at best and at least, and in all.

    Words grow where the picture is wider than ``text_at``, as it will be shown smaller.
    """

    cell: float
    smallest: float
    widest: float
    text_at: float


PAGE = Room(cell=CELL_PX, smallest=16.0, widest=1400.0, text_at=1400.0)
CLOSE = Room(cell=48.0, smallest=32.0, widest=2000.0, text_at=1400.0)
SHEET = Room(cell=CELL_PX, smallest=6.0, widest=1400.0, text_at=800.0)


@dataclass(frozen=True)
class StonePlace:
    """A stone at its foot, in pixels; ``sign`` is the name of its sign among the symbols.

    ``badges`` are the places of its crews' badges, each with the number of the crew.
    """

    x: float
    y: float
    sign: str
    facts: StoneFacts
    badges: tuple[tuple[float, int], ...] = ()
    badge_y: float = 0.0


@dataclass(frozen=True)
class RowPlace:
    """The number of a row at its left end."""

    x: float
    y: float
    words: str


@dataclass(frozen=True)
class SectionPlace:
    """A section: ``points`` for a polygon, its title's place and slope in degrees.

    ``badges`` as those of a stone: the crews at work on the section as a whole.
    """

    key: str
    facts: SectionFacts
    points: str
    title: str
    x: float
    y: float
    slope: float
    rows: tuple[RowPlace, ...]
    stones: tuple[StonePlace, ...]
    badges: tuple[tuple[float, int], ...] = ()
    badge_y: float = 0.0


@dataclass(frozen=True)
class LandmarkPlace:
    """A landmark in pixels: ``points`` for a polyline, and where its first point is."""

    kind: str
    points: str
    x: float
    y: float
    words: str


@dataclass(frozen=True)
class Picture:
    """A plan ready to be written as SVG; lengths in pixels.

    ``scale_px`` is the length of the bar that ``scale_words`` names; zero where nothing was
    measured. ``stone_scale`` multiplies every sign, ``text`` every word. ``notes`` are sentences
    on what does not stand at its place.
    """

    title: str
    width: float
    height: float
    stone_scale: float
    sections: tuple[SectionPlace, ...]
    landmarks: tuple[LandmarkPlace, ...]
    symbols: tuple[signs.Sign, ...]
    legend: tuple[signs.Sign, ...]
    badges: tuple[tuple[signs.Badge, CrewFacts], ...] = ()
    notes: tuple[str, ...] = ()
    scale_px: float = 0.0
    scale_words: str = ""
    cell: float = CELL_PX
    text: float = 1.0
    key: str = "ground"
    count: int = 0

    @property
    def wide(self) -> bool:
        """Return whether a sheet of paper should lie on its long side."""
        return self.width > self.height

    @property
    def bar_x(self) -> float:
        """Return where the scale bar ends, from the right edge."""
        return round(-54 * self.text, 1)

    @property
    def bar_y(self) -> float:
        """Return where the scale bar lies, from the lower edge."""
        return round(-14 * self.text, 1)

    @property
    def title_size(self) -> float:
        """Return the size of a section's name."""
        return round(TITLE_PX * self.text, 1)

    @property
    def word_size(self) -> float:
        """Return the size of a row's number and of other words."""
        return round(14 * self.text, 1)


def draw(facts: GroundFacts, *, key: str = "ground", room: Room = PAGE) -> Picture:
    """Return the plan of a cemetery; ``key`` keeps ids apart where a page has two plans."""
    sections, doubts = trusted(facts.sections)
    layout, landmarks, near = _near_enough(lay_out(sections), facts.landmarks, room)
    scale, cell = _scale(layout.laid, landmarks, room)
    area = _extent(layout.laid, landmarks)
    text = max(1.0, area.width * scale / room.text_at)
    crews = {crew.name: number for number, crew in enumerate(facts.crews)}
    pen = _Pen(scale, cell, text, (-area.left * scale, -area.top * scale), crews)
    feet = _feet(layout.laid, pen)
    shown = _sections(layout.laid, feet, key, pen)
    everything = _pixel_box(shown, pen).joined(Box(0, 0, area.width * scale, area.height * scale))
    for mark in landmarks:
        everything = everything.joined(_room(mark, pen))
    move = (MARGIN_PX - everything.left, MARGIN_PX + 10 - everything.top)
    pen = replace(pen, move=(pen.move[0] + move[0], pen.move[1] + move[1]))
    feet = [(x + move[0], y + move[1]) for x, y in feet]
    bar_ft = _bar_ft(scale, 100 * text)
    return Picture(
        title=facts.title,
        width=round(max(everything.width + 2 * MARGIN_PX, NARROWEST_PX)),
        height=round(everything.height + MARGIN_PX + FOOT_PX * text),
        stone_scale=round(cell / CELL_PX, 2),
        sections=_sections(layout.laid, feet, key, pen),
        landmarks=tuple(_landmark(one, pen) for one in landmarks),
        symbols=_symbols(facts),
        legend=_legend(facts),
        badges=_badges(facts),
        notes=(*doubts, *layout.notes, *near),
        scale_px=round(bar_ft * METRES_IN_A_FOOT * scale, 1) if layout.measured else 0.0,
        scale_words=f"{bar_ft} ft",
        cell=cell,
        text=round(text, 2),
        key=key,
        count=sum(len(section.stones) for section in facts.sections),
    )


@dataclass(frozen=True)
class _Pen:
    """How metres become pixels: ``move`` is where the origin lies."""

    scale: float
    cell: float
    text: float
    move: Point
    crews: dict[str, int]

    def at(self, place: Point) -> Point:
        """Return a place in metres as pixels."""
        return place[0] * self.scale + self.move[0], place[1] * self.scale + self.move[1]


def _near_enough(
    layout: Layout, landmarks: tuple[LandmarkFacts, ...], room: Room
) -> tuple[Layout, tuple[LandmarkFacts, ...], tuple[str, ...]]:
    """Return the layout, its sections moved together if else no stone had room; and a note."""
    scale, _ = _scale(layout.laid, landmarks, room)
    close = side_by_side(layout.laid) if len(layout.laid) > 1 else layout.laid
    if scale * _usual_gap(layout.laid) >= room.smallest * 0.6:
        return layout, landmarks, ()
    if _scale(close, (), room)[0] < 1.5 * scale:
        return layout, landmarks, ()
    return replace(layout, laid=close), (), (APART,)


def _extent(laid: Sequence[Laid], landmarks: tuple[LandmarkFacts, ...]) -> Box:
    """Return the box in metres around everything to draw."""
    box = extent(laid)
    points = [(east, -north) for mark in landmarks for east, north in mark.points]
    return box.joined(box_of(points)) if points else box


def _usual_gap(laid: Sequence[Laid]) -> float:
    """Return how far apart stones usually stand where they stand close, in metres."""
    gaps = sorted(gap for one in laid for gap in nearest(one.feet) if gap > SAME_SPOT_M)
    return max(gaps[len(gaps) // 10], 0.4) if gaps else PITCH_M


def _scale(
    laid: Sequence[Laid], landmarks: tuple[LandmarkFacts, ...], room: Room
) -> tuple[float, float]:
    """Return pixels a metre, and the room in pixels that each stone has.

    Most stones get their full room; where a cemetery is too wide for that, signs shrink.
    """
    usual = _usual_gap(laid)
    width = max(_extent(laid, landmarks).width, 1.0)
    scale = min(room.cell / usual, (room.widest - 2 * MARGIN_PX) / width)
    return scale, min(room.cell, max(room.smallest, round(scale * usual, 1)))


def _feet(laid: Sequence[Laid], pen: _Pen) -> list[Point]:
    """Return where each stone stands in pixels, one after the other, none upon another."""
    feet = [pen.at(foot) for one in laid for foot in one.feet]
    return spread(feet, width=0.8 * pen.cell, height=0.95 * pen.cell)


def _sections(
    laid: Sequence[Laid], feet: list[Point], key: str, pen: _Pen
) -> tuple[SectionPlace, ...]:
    """Return the sections in pixels."""
    free = iter(feet)
    return tuple(
        _section(one, f"{key}-{i}", pen, [next(free) for _ in one.feet])
        for i, one in enumerate(laid, start=1)
    )


def _section(laid: Laid, key: str, pen: _Pen, feet: list[Point]) -> SectionPlace:
    """Return one section in pixels."""
    outline = [pen.at(point) for point in laid.outline]
    box, lean = box_of(outline), slope(outline)
    size = TITLE_PX * pen.text
    title = f"{laid.title} · {laid.facts.note}" if laid.facts.note else laid.title
    title = shortened(title, max(box.width - 6, 13 * size), size, bold=True)
    end = box.left + 6 + width_of(title, size, bold=True)
    return SectionPlace(
        key=key,
        facts=laid.facts,
        points=_points(outline),
        title=title,
        x=round(box.left + 6, 1),
        y=round(min(outline, key=lambda p: p[0] + p[1])[1] - 12, 1),
        slope=round(lean, 1),
        rows=tuple(_row(words, pen.at(place)) for words, place in laid.rows if words),
        stones=tuple(
            _stone(s, x, y, pen) for s, (x, y) in zip(laid.facts.stones, feet, strict=True)
        ),
        badges=_crews(laid.facts.crews, end + 12, pen),
        badge_y=round(min(outline, key=lambda p: p[0] + p[1])[1] - 12 - size / 3, 1),
    )


def _row(words: str, place: Point) -> RowPlace:
    """Return the number of a row to the left of where its line begins."""
    return RowPlace(round(place[0] - 12, 1), round(place[1] - 4, 1), words)


def _stone(facts: StoneFacts, x: float, y: float, pen: _Pen) -> StonePlace:
    """Return a stone with the badges of its crews at its upper right, one beside the other."""
    sign = signs.stone(facts.type, facts.state).name
    badges = _crews(facts.crews, x + 12 * pen.cell / CELL_PX, pen)
    above = round(y - 26 * pen.cell / CELL_PX, 1)
    return StonePlace(round(x, 1), round(y, 1), sign, facts, badges, above)


def _crews(names: Sequence[str], x: float, pen: _Pen) -> tuple[tuple[float, int], ...]:
    """Return the badges of at most two crews, one beside the other."""
    numbers = [pen.crews[name] for name in names if name in pen.crews][:2]
    step = 17 * pen.cell / CELL_PX
    return tuple((round(x + step * place, 1), number) for place, number in enumerate(numbers))


def _pixel_box(sections: Sequence[SectionPlace], pen: _Pen) -> Box:
    """Return the box around all stones, titles and row numbers, in pixels."""
    size, cell = TITLE_PX * pen.text, pen.cell
    points = [(s.x, s.y - size) for s in sections]
    points += [(s.x + width_of(s.title, size, bold=True), s.y) for s in sections]
    points += [(r.x - 14 * pen.text, r.y) for s in sections for r in s.rows]
    for place in (stone for s in sections for stone in s.stones):
        points += [(place.x - cell / 2, place.y - cell), (place.x + cell / 2, place.y + 8)]
    return box_of(points) if points else Box(0, 0, 0, 0)


def _landmark(mark: LandmarkFacts, pen: _Pen) -> LandmarkPlace:
    """Return a landmark in pixels."""
    points = [pen.at((east, -north)) for east, north in mark.points]
    x, y = points[0]
    return LandmarkPlace(mark.kind, _points(points), round(x, 1), round(y, 1), mark.words)


def _room(mark: LandmarkFacts, pen: _Pen) -> Box:
    """Return what a landmark covers, its words included, in pixels."""
    x, y = pen.at((mark.points[0][0], -mark.points[0][1]))
    return Box(x - 26, y - 26, x + 26 + width_of(mark.words, 15), y + 26)


def _points(points: Sequence[Point]) -> str:
    """Return points as SVG writes them in a polygon."""
    return " ".join(f"{round(x, 1):g},{round(y, 1):g}" for x, y in points)


def _symbols(facts: GroundFacts) -> tuple[signs.Sign, ...]:
    """Return each sign once that a stone of this ground shows."""
    used = {(s.type, s.state) for section in facts.sections for s in section.stones}
    by_name = {drawn.name: drawn for drawn in (signs.stone(t, state) for t, state in used)}
    return tuple(by_name[name] for name in sorted(by_name))


def _legend(facts: GroundFacts) -> tuple[signs.Sign, ...]:
    """Return one tablet for each state that occurs, gravest first, named by the state."""
    used = {s.state for section in facts.sections for s in section.stones}
    return signs.states(used)


def _badges(facts: GroundFacts) -> tuple[tuple[signs.Badge, CrewFacts], ...]:
    """Return the badge of each crew that is at work on a stone."""
    used = {name for section in facts.sections for name in section.crews}
    used |= {name for section in facts.sections for s in section.stones for name in s.crews}
    return tuple(
        (signs.badge(number, crew.name), crew)
        for number, crew in enumerate(facts.crews)
        if crew.name in used
    )


def _bar_ft(scale: float, wanted: float) -> int:
    """Return the round number of feet whose bar comes nearest to so many pixels."""
    return min(BARS_FT, key=lambda feet: abs(feet * METRES_IN_A_FOOT * scale - wanted))
