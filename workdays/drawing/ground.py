"""A cemetery as a plan: sections as outlines, every stone at its place, drawn by what it needs.

Fill ``GroundFacts`` and give ``draw(facts)`` to ``workdays/svg/_ground.html`` as ``picture``.
A stone with metres stands where it was measured; one without stands in its row at its position;
a section in which nothing was measured is laid out beside the others, and the picture says so.
"""

from dataclasses import dataclass, field, replace

from workdays.drawing import signs
from workdays.drawing.plane import Box, Point, box_of, corners, nearest, slope, spread, turned
from workdays.drawing.words import width_of

CELL_PX = 36.0
SMALLEST_CELL_PX = 16.0
WIDEST_PX = 1400.0
NARROWEST_PX = 330.0
PITCH_M, ROW_M, GAP_M = 2.0, 3.0, 3.6
MARGIN_PX = 20.0
FOOT_PX = 64.0
TILTS = (-1.4, 0.0, 1.2, 0.6, -0.7)
METRES_IN_A_FOOT = 0.3048
BARS_FT = (5, 10, 20, 30, 50, 100, 200, 300, 500, 1000)


@dataclass(frozen=True)
class StoneFacts:
    """One stone; metres are from the cemetery's origin, None where nobody measured.

    ``type`` and ``state`` as in ``signs.STONE_WORDS`` and ``signs.STATE_WORDS``; ``note`` is
    added to what is read aloud ("ready on 9 May"); ``marked`` draws a line under the stone
    (in the crew's work of today, ready, chosen); no ``href``, no link.
    """

    number: str
    type: str
    state: str
    href: str = ""
    row: int | None = None
    position: int | None = None
    east_m: float | None = None
    north_m: float | None = None
    note: str = ""
    marked: bool = False

    @property
    def words(self) -> str:
        """Return what is read aloud and shown under the pointer."""
        said = f"Stone {self.number}: {signs.stone(self.type, self.state).words}"
        return f"{said}, {self.note}" if self.note else said

    @property
    def type_words(self) -> str:
        """Return the stone's type in words."""
        return signs.STONE_WORDS.get(self.type, self.type)

    @property
    def state_words(self) -> str:
        """Return what the stone needs in words."""
        return signs.STATE_WORDS.get(self.state, self.state)


@dataclass(frozen=True)
class SectionFacts:
    """One section; ``outline`` in metres east and north of the cemetery's origin; may be empty."""

    name: str
    stones: tuple[StoneFacts, ...] = ()
    outline: tuple[Point, ...] = ()
    href: str = ""


@dataclass(frozen=True)
class LandmarkFacts:
    """What helps to find one's way, in metres: a ``path`` has points, the others one.

    ``kind``: path, gate, water, tree. ``words`` stand beside a gate and water.
    """

    kind: str
    points: tuple[Point, ...]
    words: str = ""


@dataclass(frozen=True)
class GroundFacts:
    """A cemetery to draw. ``title`` is what the picture is called when read aloud."""

    title: str
    sections: tuple[SectionFacts, ...] = ()
    landmarks: tuple[LandmarkFacts, ...] = ()


@dataclass(frozen=True)
class StonePlace:
    """A stone at its foot, in pixels; ``sign`` is the name of its sign among the symbols."""

    x: float
    y: float
    sign: str
    facts: StoneFacts


@dataclass(frozen=True)
class RowPlace:
    """The number of a row at its left end."""

    x: float
    y: float
    words: str


@dataclass(frozen=True)
class SectionPlace:
    """A section: ``points`` for a polygon, its title's place and slope in degrees."""

    key: str
    facts: SectionFacts
    points: str
    x: float
    y: float
    slope: float
    rows: tuple[RowPlace, ...]
    stones: tuple[StonePlace, ...]


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
    measured. ``stone_scale`` multiplies every sign.
    """

    title: str
    width: float
    height: float
    stone_scale: float
    sections: tuple[SectionPlace, ...]
    landmarks: tuple[LandmarkPlace, ...]
    symbols: tuple[signs.Sign, ...]
    legend: tuple[signs.Sign, ...]
    scale_px: float = 0.0
    scale_words: str = ""
    cell: float = CELL_PX
    key: str = "ground"
    count: int = field(default=0)


@dataclass(frozen=True)
class _Laid:
    """A section in metres, y to the south: where its stones are and its outline."""

    facts: SectionFacts
    feet: tuple[Point, ...]
    outline: tuple[Point, ...]


def draw(facts: GroundFacts, *, key: str = "ground") -> Picture:
    """Return the plan of a cemetery; ``key`` keeps ids apart where a page has two plans."""
    laid = _lay_out(facts.sections)
    scale, cell = _scale(laid, facts.landmarks)
    extent = _extent(laid, facts.landmarks)
    sections = [
        _section(one, f"{key}-{i}", scale=scale, cell=cell, corner=(extent.left, extent.top))
        for i, one in enumerate(laid, start=1)
    ]
    everything = _pixel_box(sections, cell).joined(
        Box(0, 0, extent.width * scale, extent.height * scale)
    )
    for mark in facts.landmarks:
        everything = everything.joined(_room(mark, scale, (extent.left, extent.top)))
    move = (MARGIN_PX - everything.left, MARGIN_PX + 10 - everything.top)
    shown = tuple(_moved(one, move) for one in sections)
    at = (move[0] - extent.left * scale, move[1] - extent.top * scale)
    marks = tuple(_landmark(one, scale, at) for one in facts.landmarks)
    measured = any(_measured(section) for section in facts.sections)
    bar_ft = _bar_ft(scale)
    return Picture(
        title=facts.title,
        width=round(max(everything.width + 2 * MARGIN_PX, NARROWEST_PX)),
        height=round(everything.height + MARGIN_PX + FOOT_PX),
        stone_scale=round(cell / CELL_PX, 2),
        sections=shown,
        landmarks=marks,
        symbols=_symbols(facts),
        legend=_legend(facts),
        scale_px=round(bar_ft * METRES_IN_A_FOOT * scale, 1) if measured else 0.0,
        scale_words=f"{bar_ft} ft",
        cell=cell,
        key=key,
        count=sum(len(section.stones) for section in facts.sections),
    )


def _measured(section: SectionFacts) -> bool:
    """Return whether anything ties the section to the ground."""
    return bool(section.outline) or any(s.east_m is not None for s in section.stones)


def _lay_out(sections: tuple[SectionFacts, ...]) -> list[_Laid]:
    """Return all sections in metres, y to the south: measured ones first as they are."""
    laid = {i: _measured_section(s) for i, s in enumerate(sections) if _measured(s)}
    known = [p for one in laid.values() for p in (*one.feet, *one.outline)]
    edge = box_of(known) if known else Box(0, 0, -GAP_M, 0)
    waiting = [i for i, s in enumerate(sections) if i not in laid]
    widths = [_grid_width(sections[i]) for i in waiting]
    step = max(widths, default=0.0) + GAP_M
    bottoms = [edge.top] * (1 if known or len(waiting) == 1 else 2)
    for i in waiting:
        column = bottoms.index(min(bottoms))
        corner = (edge.right + GAP_M + column * step, bottoms[column])
        laid[i] = _grid_section(sections[i], corner, tilt=TILTS[i % len(TILTS)])
        bottoms[column] = box_of(laid[i].outline).bottom + GAP_M
    return [laid[i] for i in range(len(sections))]


def _grid_width(section: SectionFacts) -> float:
    """Return how wide a section is when laid out by positions, in metres."""
    return PITCH_M * (max((s.position or 1 for s in section.stones), default=1) + 1)


def _measured_section(section: SectionFacts) -> _Laid:
    """Return a section where at least one thing was measured; the rest stands in its rows."""
    known = [(s.east_m, -(s.north_m or 0.0)) for s in section.stones if s.east_m is not None]
    outline = tuple((east, -north) for east, north in section.outline)
    box = box_of([*outline, *known])
    feet = tuple(
        (s.east_m, -(s.north_m or 0.0))
        if s.east_m is not None
        else (box.left + PITCH_M * (s.position or 1), box.top + ROW_M * (s.row or 1))
        for s in section.stones
    )
    return _Laid(section, feet, outline or corners(_grown(box_of(feet))))


def _grid_section(section: SectionFacts, corner: Point, *, tilt: float) -> _Laid:
    """Return a section laid out by row and position only, a little tilted like paper."""
    counts: dict[int, int] = {}
    feet = []
    for stone in section.stones:
        row = stone.row or 1
        counts[row] = max(counts.get(row, 0) + 1, stone.position or 0)
        feet.append((corner[0] + PITCH_M * counts[row], corner[1] + ROW_M * row))
    box = _grown(box_of([(corner[0] + PITCH_M, corner[1] + ROW_M), *feet]))
    feet = [turned(foot, corner, tilt) for foot in feet]
    return _Laid(section, tuple(feet), tuple(turned(c, corner, tilt) for c in corners(box)))


def _grown(box: Box) -> Box:
    """Return a box in metres with room for the stones that stand on its edge."""
    return Box(box.left - 1.6, box.top - 2.6, box.right + 1.6, box.bottom + 1.3)


def _extent(laid: list[_Laid], landmarks: tuple[LandmarkFacts, ...]) -> Box:
    """Return the box in metres around everything to draw."""
    points = [p for one in laid for p in (*one.outline, *one.feet)]
    points += [(east, -north) for mark in landmarks for east, north in mark.points]
    return box_of(points) if points else Box(0, 0, 1, 1)


def _scale(laid: list[_Laid], landmarks: tuple[LandmarkFacts, ...]) -> tuple[float, float]:
    """Return pixels a metre, and the room in pixels that each stone has.

    Most stones get their full room; where a cemetery is too wide for that, signs shrink.
    """
    gaps = sorted(gap for one in laid for gap in nearest(one.feet))
    usual = max(gaps[len(gaps) // 10], 0.4) if gaps else PITCH_M
    width = max(_extent(laid, landmarks).width, 1.0)
    scale = min(CELL_PX / usual, (WIDEST_PX - 2 * MARGIN_PX) / width)
    return scale, min(CELL_PX, max(SMALLEST_CELL_PX, round(scale * usual, 1)))


def _section(laid: _Laid, key: str, *, scale: float, cell: float, corner: Point) -> SectionPlace:
    """Return one section in pixels from the drawing's corner, no stone upon another."""
    feet = [((x - corner[0]) * scale, (y - corner[1]) * scale) for x, y in laid.feet]
    outline = [((x - corner[0]) * scale, (y - corner[1]) * scale) for x, y in laid.outline]
    stones = tuple(
        StonePlace(round(x, 1), round(y, 1), signs.stone(s.type, s.state).name, s)
        for s, (x, y) in zip(
            laid.facts.stones, spread(feet, width=0.8 * cell, height=0.95 * cell), strict=True
        )
    )
    box = box_of(outline)
    lean = slope(outline)
    return SectionPlace(
        key=key,
        facts=laid.facts,
        points=_points(outline),
        x=round(box.left + 6, 1),
        y=round(_top_left(outline)[1] - 12, 1),
        slope=round(lean, 1),
        rows=_row_numbers(stones, box.left - 12),
        stones=stones,
    )


def _top_left(outline: list[Point]) -> Point:
    """Return the corner of an outline nearest to the upper left."""
    return min(outline, key=lambda p: p[0] + p[1])


def _row_numbers(stones: tuple[StonePlace, ...], x: float) -> tuple[RowPlace, ...]:
    """Return the number of each row, level with its first stone."""
    first: dict[int, StonePlace] = {}
    for stone in sorted(stones, key=lambda s: s.x):
        if stone.facts.row is not None:
            first.setdefault(stone.facts.row, stone)
    return tuple(
        RowPlace(round(x, 1), round(stone.y - 4, 1), str(row))
        for row, stone in sorted(first.items())
    )


def _pixel_box(sections: list[SectionPlace], cell: float) -> Box:
    """Return the box around all stones and titles, in pixels."""
    points = [(s.x, s.y - 14) for s in sections]
    points += [(r.x - 14, r.y) for s in sections for r in s.rows]
    for place in (stone for s in sections for stone in s.stones):
        points += [(place.x - cell / 2, place.y - cell), (place.x + cell / 2, place.y + 4)]
    return box_of(points) if points else Box(0, 0, 0, 0)


def _moved(section: SectionPlace, by: Point) -> SectionPlace:
    """Return a section moved by so many pixels."""
    dx, dy = by
    pairs = [pair.split(",") for pair in section.points.split()]
    return replace(
        section,
        points=_points([(float(x) + dx, float(y) + dy) for x, y in pairs]),
        x=round(section.x + dx, 1),
        y=round(section.y + dy, 1),
        rows=tuple(replace(r, x=round(r.x + dx, 1), y=round(r.y + dy, 1)) for r in section.rows),
        stones=tuple(
            replace(s, x=round(s.x + dx, 1), y=round(s.y + dy, 1)) for s in section.stones
        ),
    )


def _landmark(mark: LandmarkFacts, scale: float, at: Point) -> LandmarkPlace:
    """Return a landmark in pixels."""
    points = [(east * scale + at[0], -north * scale + at[1]) for east, north in mark.points]
    return LandmarkPlace(
        mark.kind, _points(points), round(points[0][0], 1), round(points[0][1], 1), mark.words
    )


def _room(mark: LandmarkFacts, scale: float, corner: Point) -> Box:
    """Return what a landmark covers, its words included, in pixels from the drawing's corner."""
    x, y = (mark.points[0][0] - corner[0]) * scale, (-mark.points[0][1] - corner[1]) * scale
    return Box(x - 26, y - 26, x + 26 + width_of(mark.words, 15), y + 26)


def _points(points: list[Point]) -> str:
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
    return tuple(
        replace(signs.stone("tablet", state), words=words)
        for state, words in signs.STATE_WORDS.items()
        if state in used
    )


def _bar_ft(scale: float) -> int:
    """Return the round number of feet whose bar comes nearest to 100 pixels."""
    return min(BARS_FT, key=lambda feet: abs(feet * METRES_IN_A_FOOT * scale - 100))
