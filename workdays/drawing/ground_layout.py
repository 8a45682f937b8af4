"""Where everything of a cemetery lies, in metres, before it is drawn to a size.

A stone with metres stands where it was measured; one between measured stones of its row stands
where the row leads; the others are laid out by row and position, beside what was measured.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from workdays.drawing.ground_facts import SectionFacts, StoneFacts
from workdays.drawing.ground_measures import at
from workdays.drawing.plane import Box, Point, box_of, corners, inside_of, sides_of, turned

PITCH_M, ROW_M, GAP_M = 2.0, 3.0, 3.6
NARROWEST_M = 0.5
TILTS = (-1.4, 0.0, 1.2, 0.6, -0.7)
LINE = 40
REACH = 3
SIDE_BY_SIDE_M, LETTER_M = 4.0, 0.7


@dataclass(frozen=True)
class Laid:
    """A section, or the part of one that was not measured, in metres with y to the south.

    ``rows``: the number of each row and where its line begins; ``title`` is its name.
    """

    facts: SectionFacts
    title: str
    feet: tuple[Point, ...]
    outline: tuple[Point, ...]
    rows: tuple[tuple[str, Point], ...] = ()
    measured: bool = False


@dataclass(frozen=True)
class Layout:
    """All sections laid out, and sentences on what was not measured."""

    laid: tuple[Laid, ...]
    notes: tuple[str, ...] = ()

    @property
    def measured(self) -> bool:
        """Return whether anything ties the plan to the ground."""
        return any(one.measured for one in self.laid)


def lay_out(sections: Sequence[SectionFacts]) -> Layout:
    """Return all sections in their order, what was not measured right after its section."""
    pairs = [_parted(section) for section in sections]
    known = [p for measured, _ in pairs if measured for p in (*measured.feet, *measured.outline)]
    waiting = [rest for _, rest in pairs if rest]
    placed = dict(zip(map(id, waiting), _shelved(waiting, known), strict=True))
    laid = [
        part
        for measured, rest in pairs
        for part in (measured, rest and placed[id(rest)])
        if part is not None
    ]
    return Layout(tuple(laid), _notes(sections, laid))


def extent(laid: Sequence[Laid]) -> Box:
    """Return the box in metres around everything."""
    points = [p for one in laid for p in (*one.outline, *one.feet)]
    return box_of(points) if points else Box(0, 0, 1, 1)


def side_by_side(laid: Sequence[Laid]) -> tuple[Laid, ...]:
    """Return the sections moved close to each other, each true in itself.

    For sections so far apart that drawing the way between them would leave no room for stones.
    """
    boxes = [_box_with_title(one) for one in laid]
    room = math.sqrt(sum((b.width + GAP_M) * (b.height + GAP_M) for b in boxes)) * 1.4
    widest = max([room, *(b.width for b in boxes)])
    x = y = lowest = 0.0
    moved = []
    for one, box in zip(laid, boxes, strict=True):
        if x > 0 and x + box.width > widest:
            x, y = 0.0, lowest + SIDE_BY_SIDE_M
        moved.append(shifted(one, x - box.left, y - box.top))
        x += box.width + SIDE_BY_SIDE_M
        lowest = max(lowest, y + box.height)
    return tuple(moved)


def shifted(one: Laid, dx: float, dy: float) -> Laid:
    """Return something laid out, moved by so many metres."""
    return replace(
        one,
        feet=tuple((x + dx, y + dy) for x, y in one.feet),
        outline=tuple((x + dx, y + dy) for x, y in one.outline),
        rows=tuple((words, (x + dx, y + dy)) for words, (x, y) in one.rows),
    )


def _box_with_title(one: Laid) -> Box:
    box = box_of([*one.outline, *one.feet])
    named = LETTER_M * min(len(one.title), 24)
    return Box(box.left, box.top, max(box.right, box.left + named), box.bottom)


def _parted(section: SectionFacts) -> tuple[Laid | None, Laid | None]:
    """Return what of a section can be drawn at its place, and the rest by rows; None for none."""
    lines = _lines(section.stones)
    found = [(stone, at(stone) or _between(stone, lines)) for stone in section.stones]
    known = [(stone, place) for stone, place in found if place]
    rest = tuple(stone for stone, place in found if place is None)
    if not known:
        fitted = _fitted(section) if section.outline else None
        return (fitted, None) if fitted else (None, _grid(section, section.name))
    outline = tuple((east, -north) for east, north in section.outline)
    feet = tuple(place for _, place in known)
    edge = outline or corners(_grown(box_of(feet)))
    measured = Laid(
        replace(section, stones=tuple(stone for stone, _ in known)),
        section.name,
        feet,
        edge,
        _row_ends(known, box_of([*edge, *feet]).left),
        measured=True,
    )
    if not rest:
        return measured, None
    title = f"{section.name}: not measured"
    return measured, _grid(replace(section, stones=rest, outline=(), note=""), title)


def _fitted(section: SectionFacts) -> Laid | None:
    """Return rows and positions spread over an outline; None where it has not the room.

    Over an outline of four corners along its sides, over any other along its box.
    """
    outline = tuple((east, -north) for east, north in section.outline)
    box, lines = box_of(outline), _folded(section.stones)
    across, down = _widest(lines), max(len(lines), 1)
    if box.width < NARROWEST_M * across or box.height < NARROWEST_M * down:
        return None
    sides = _clockwise(outline) if len(outline) == 4 else corners(box)
    places: dict[int, Point] = {}
    rows = []
    for number, (words, cells) in enumerate(lines):
        for column, stone in cells:
            places[stone] = inside_of(sides, (column - 0.5) / across, (number + 0.6) / down)
        rows.append((words, inside_of(sides, 0, (number + 0.6) / down)))
    feet = tuple(places[i] for i in range(len(section.stones)))
    return Laid(section, section.name, feet, outline, tuple(rows), measured=True)


def _clockwise(points: Sequence[Point]) -> tuple[Point, ...]:
    """Return four corners from the upper left, clockwise as one sees them."""
    area = sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in sides_of(points))
    turn = list(points) if area > 0 else list(reversed(points))
    first = turn.index(min(turn, key=lambda p: p[0] + p[1]))
    return (*turn[first:], *turn[:first])


def _row_ends(known: list[tuple[StoneFacts, Point]], left: float) -> tuple[tuple[str, Point], ...]:
    """Return each row's number, level with its westernmost stone."""
    first: dict[int, float] = {}
    for stone, (_, y) in sorted(known, key=lambda pair: pair[1]):
        if stone.row is not None:
            first.setdefault(stone.row, y)
    return tuple((str(row), (left, y)) for row, y in sorted(first.items()))


_Line = tuple[float, Point, float, Point]


def _lines(stones: Sequence[StoneFacts]) -> dict[int, _Line]:
    """Return for each row with two measured stones its first and last: position and place."""
    rows: dict[int, list[tuple[int, Point]]] = {}
    for stone in stones:
        place = at(stone)
        if place and stone.row is not None and stone.position is not None:
            rows.setdefault(stone.row, []).append((stone.position, place))
    ends = {row: (min(found), max(found)) for row, found in rows.items()}
    return {row: (*a, *b) for row, (a, b) in ends.items() if a[0] < b[0]}


def _between(stone: StoneFacts, lines: dict[int, _Line]) -> Point | None:
    """Return where a row of measured stones has this one; None where the row does not reach."""
    line = lines.get(stone.row) if stone.row is not None else None
    if line is None or stone.position is None:
        return None
    first, (x1, y1), last, (x2, y2) = line
    if not first - REACH <= stone.position <= last + REACH:
        return None
    part = (stone.position - first) / (last - first)
    return x1 + (x2 - x1) * part, y1 + (y2 - y1) * part


def _grid(section: SectionFacts, title: str) -> Laid:
    """Return stones laid out by row and position, long rows folded, many rows in columns."""
    lines = _folded(section.stones)
    columns = _columns(lines)
    each = -(-len(lines) // columns) if lines else 1
    step = PITCH_M * (_widest(lines) + 2)
    places: dict[int, Point] = {}
    rows = []
    for index, (words, cells) in enumerate(lines):
        x, y = step * (index // each), ROW_M * (index % each + 1)
        for column, stone in cells:
            places[stone] = (x + PITCH_M * column, y)
        rows.append((words, (x + PITCH_M - 1.6, y)))
    feet = tuple(places[i] for i in range(len(section.stones)))
    box = _grown(box_of([(PITCH_M, ROW_M), *feet]))
    return Laid(section, title, feet, corners(box), tuple(rows))


_Cells = tuple[str, list[tuple[int, int]]]


def _folded(stones: Sequence[StoneFacts]) -> list[_Cells]:
    """Return lines of a grid: the row's words, then column and index of each stone."""
    order = sorted(range(len(stones)), key=lambda i: _walk(stones[i], i))
    rows = [list(group) for _, group in groupby(order, key=lambda i: stones[i].row)]
    sane = 2 * max(map(len, rows), default=0) + 20
    return [line for row in rows for line in _row_lines(row, stones, sane)]


def _row_lines(row: list[int], stones: Sequence[StoneFacts], sane: int) -> list[_Cells]:
    """Return the lines of one row; stones of no known row fill a square in their order."""
    number = stones[row[0]].row
    known = [None if number is None else stones[i].position for i in row]
    fold = LINE if number is not None else min(LINE, max(8, round(math.sqrt(2 * len(row)))))
    lines: dict[int, list[tuple[int, int]]] = {}
    for column, stone in sorted(zip(_columns_of(known, sane), row, strict=True)):
        lines.setdefault((column - 1) // fold, []).append(((column - 1) % fold + 1, stone))
    words = "?" if number is None else str(number)
    return [(words if at == min(lines) else "", cells) for at, cells in lines.items()]


def _walk(stone: StoneFacts, index: int) -> tuple[bool, int, bool, int, int]:
    """Return what sorts stones as one walks: by row and position, unknown ones last."""
    row, position = stone.row, stone.position
    return (row is None, row or 0, not position, position or 0, index)


def _columns_of(positions: Sequence[int | None], sane: int) -> list[int]:
    """Return the column of each stone of a row; absurd and unknown positions follow the others."""
    columns: list[int] = []
    last = 0
    for position in positions:
        known = position is not None and 0 < position <= sane
        columns.append(position if known and position else last + 1)
        last = max(last, columns[-1])
    return columns


def _columns(lines: list[_Cells]) -> int:
    """Return in how many columns to set lines, so that many short rows make no endless strip."""
    if len(lines) <= 24:
        return 1
    width, height = PITCH_M * (_widest(lines) + 2), ROW_M * len(lines)
    return max(1, round(math.sqrt(height / width / 1.5)))


def _widest(lines: list[_Cells]) -> int:
    return max((column for _, cells in lines for column, _ in cells), default=1)


def _shelved(waiting: Sequence[Laid], known: list[Point]) -> list[Laid]:
    """Return what was not measured, beside what was, each a little tilted like paper."""
    edge = box_of(known) if known else Box(0, 0, -GAP_M, 0)
    return [
        _tilted(shifted(one, edge.right + GAP_M, edge.top), TILTS[i % len(TILTS)])
        for i, one in enumerate(side_by_side(waiting))
    ]


def _tilted(one: Laid, degrees: float) -> Laid:
    """Return something laid out, turned about its upper left corner."""
    corner = one.outline[0]
    return replace(
        one,
        feet=tuple(turned(foot, corner, degrees) for foot in one.feet),
        outline=tuple(turned(point, corner, degrees) for point in one.outline),
        rows=tuple((words, turned(place, corner, degrees)) for words, place in one.rows),
    )


def _grown(box: Box) -> Box:
    """Return a box in metres with room for the stones that stand on its edge."""
    return Box(box.left - 1.6, box.top - 2.6, box.right + 1.6, box.bottom + 1.3)


def _notes(sections: Sequence[SectionFacts], laid: Sequence[Laid]) -> tuple[str, ...]:
    """Return sentences on stones that do not stand where somebody measured them."""
    notes = []
    if not any(one.measured for one in laid):
        return ("Drawn by rows and positions, not to scale.",) if laid else ()
    between = sum(at(stone) is None for one in laid if one.measured for stone in one.facts.stones)
    beside = sum(len(one.feet) for one in laid if not one.measured)
    if between:
        notes.append(f"{_stones(between)} not measured: drawn where the row leads.")
    if beside:
        notes.append(f"{_stones(beside)} not measured: drawn beside the others, by rows.")
    return tuple(notes)


def _stones(count: int) -> str:
    return "1 stone was" if count == 1 else f"{count} stones were"
