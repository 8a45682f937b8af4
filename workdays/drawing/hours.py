"""The weather of a day, hour by hour: the curve with its limits, and a strip for each kind of work.

Fill ``WeatherFacts`` and give ``draw(facts)`` to ``workdays/svg/_hours.html`` as ``picture``.
"""

from dataclasses import dataclass

from workdays.drawing.words import lines, shortened, width_of

LEFT, LEFT_MOST, RIGHT = 156.0, 230.0, 12.0
NAME_SIZE = 18.0
WIDTH, NARROWEST_HOUR = 1180.0, 62.0
CURVE_TOP, CURVE_HEIGHT = 40.0, 116.0
STRIP_TOP, STRIP, STRIP_GAP = 234.0, 46.0, 8.0
LABEL_ROOM = 13.0


@dataclass(frozen=True)
class HourFacts:
    """One hour: its label ("9:00") and its value in the picture's unit; None where unknown."""

    at: str
    value: float | None


@dataclass(frozen=True)
class LimitFacts:
    """A limit line, in the picture's unit, with its words: "limit 40 °F"."""

    value: float
    words: str


@dataclass(frozen=True)
class CellFacts:
    """The verdict for one hour: on, watch or off, and why in a sentence."""

    verdict: str
    why: str = ""


@dataclass(frozen=True)
class StripFacts:
    """One kind of work, a cell for each hour of the picture, in order."""

    name: str
    cells: tuple[CellFacts, ...]


@dataclass(frozen=True)
class WeatherFacts:
    """A day's weather to draw; ``unit`` follows each value ("°"), ``measure`` names the curve."""

    title: str
    hours: tuple[HourFacts, ...]
    strips: tuple[StripFacts, ...] = ()
    limits: tuple[LimitFacts, ...] = ()
    unit: str = "°"
    measure: str = "Air"


@dataclass(frozen=True)
class KnotPlace:
    """One hour of the curve; ``y`` is None where the value is unknown."""

    x: float
    y: float | None
    label_y: float
    words: str
    at: str


@dataclass(frozen=True)
class LimitPlace:
    """A limit line and where its words stand."""

    y: float
    label_y: float
    words: str


@dataclass(frozen=True)
class CellPlace:
    """One cell of a strip; ``cross`` is path data that leaves the word free, if it is off."""

    x: float
    middle: float
    width: float
    verdict: str
    why: str
    cross: str


@dataclass(frozen=True)
class StripPlace:
    """One kind of work: its name in one line or two, each with its place, its top and its cells."""

    name: tuple[tuple[float, str], ...]
    full_name: str
    y: float
    word_y: float
    cells: tuple[CellPlace, ...]


@dataclass(frozen=True)
class TableRow:
    """One hour of the table behind the picture: each kind of work's name and verdict."""

    at: str
    value: str
    named: tuple[tuple[str, CellFacts], ...]


@dataclass(frozen=True)
class Picture:
    """The weather ready to be written as SVG; ``curves`` are points, one run between gaps each."""

    title: str
    width: float
    height: float
    left: float
    right: float
    hour_y: float
    strip: float
    knots: tuple[KnotPlace, ...]
    curves: tuple[str, ...]
    limits: tuple[LimitPlace, ...]
    strips: tuple[StripPlace, ...]
    rows: tuple[TableRow, ...]
    measure: str
    key: str


def draw(facts: WeatherFacts, *, key: str = "weather") -> Picture:
    """Return the picture of a day's weather.

    Raises ValueError if a strip does not have one cell for each hour.
    """
    if any(len(strip.cells) != len(facts.hours) for strip in facts.strips):
        raise ValueError("each kind of work needs one verdict for each hour")
    count = max(len(facts.hours), 1)
    left = _left(facts)
    column = max((WIDTH - left - RIGHT) / count, NARROWEST_HOUR)
    knots = _knots(facts, left, column)
    return Picture(
        title=facts.title,
        width=round(left + RIGHT + column * count, 1),
        height=STRIP_TOP + (STRIP + STRIP_GAP) * len(facts.strips) + 4,
        left=left,
        right=round(left + column * count, 1),
        hour_y=STRIP_TOP - 18,
        strip=STRIP,
        knots=knots,
        curves=_curves(knots),
        limits=_limits(facts, left),
        strips=tuple(
            _strip(strip, STRIP_TOP + i * (STRIP + STRIP_GAP), left, column)
            for i, strip in enumerate(facts.strips)
        ),
        rows=_rows(facts),
        measure=facts.measure,
        key=key,
    )


def _left(facts: WeatherFacts) -> float:
    """Return how wide the names of the kinds of work stand, within limits."""
    names = [width_of(strip.name, NAME_SIZE, bold=True) + 12 for strip in facts.strips]
    return round(min(max([LEFT, *names]), LEFT_MOST))


def _span(facts: WeatherFacts) -> tuple[float, float]:
    """Return the lowest and the highest value to show, at least ten apart."""
    values = [h.value for h in facts.hours if h.value is not None]
    values += [limit.value for limit in facts.limits]
    low, high = min(values, default=0.0), max(values, default=0.0)
    spare = max(10.0 - (high - low), 0.0) / 2
    return low - spare, high + spare


def _y(value: float, span: tuple[float, float]) -> float:
    """Return how far down a value lies."""
    low, high = span
    return round(CURVE_TOP + (high - value) / (high - low) * CURVE_HEIGHT, 1)


def _knots(facts: WeatherFacts, left: float, column: float) -> tuple[KnotPlace, ...]:
    """Return the hours of the curve, each with its value above it, or below if a limit is there."""
    span = _span(facts)
    lines = [_y(limit.value, span) for limit in facts.limits]
    knots = []
    for i, hour in enumerate(facts.hours):
        x = round(left + column * (i + 0.5), 1)
        y = None if hour.value is None else _y(hour.value, span)
        words = "?" if hour.value is None else f"{hour.value:.0f}{facts.unit}"
        at = y if y is not None else CURVE_TOP + CURVE_HEIGHT / 2
        crossed = any(at - 30 < line < at - 2 for line in lines)
        knots.append(KnotPlace(x, y, round(at + 26 if crossed else at - 13, 1), words, hour.at))
    return tuple(knots)


def _curves(knots: tuple[KnotPlace, ...]) -> tuple[str, ...]:
    """Return the curve as runs of points, broken where a value is unknown."""
    runs: list[list[str]] = [[]]
    for knot in knots:
        if knot.y is None:
            runs.append([])
        else:
            runs[-1].append(f"{knot.x:g},{knot.y:g}")
    return tuple(" ".join(run) for run in runs if run)


def _limits(facts: WeatherFacts, left: float) -> tuple[LimitPlace, ...]:
    """Return the limit lines from the top down, their words kept apart."""
    span = _span(facts)
    placed: list[LimitPlace] = []
    for limit in sorted(facts.limits, key=lambda one: -one.value):
        y = _y(limit.value, span)
        label = y + 5 if not placed else max(y + 5, placed[-1].label_y + LABEL_ROOM + 4)
        placed.append(LimitPlace(y, label, shortened(limit.words, left - 12, 14)))
    return tuple(placed)


def _strip(strip: StripFacts, y: float, left: float, column: float) -> StripPlace:
    """Return one kind of work with its cells."""
    cells = tuple(
        CellPlace(
            x=round(left + column * i + 1, 1),
            middle=round(left + column * (i + 0.5), 1),
            width=round(column - 3, 1),
            verdict=cell.verdict if cell.verdict in ("on", "watch", "off") else "watch",
            why=cell.why,
            cross=_cross(left + column * i + 1, y, column - 3) if cell.verdict == "off" else "",
        )
        for i, cell in enumerate(strip.cells)
    )
    return StripPlace(_name(strip.name, y, left), strip.name, y, y + STRIP / 2 + 6, cells)


def _name(name: str, y: float, left: float) -> tuple[tuple[float, str], ...]:
    """Return a name as a line in the middle of its strip, or as two about it."""
    broken = lines(name, (left - 10) / 1.08, NAME_SIZE, most=2)
    first = y + STRIP / 2 + 6 - 10 * (len(broken) - 1)
    return tuple((first + 20 * i, line) for i, line in enumerate(broken))


def _cross(x: float, y: float, width: float) -> str:
    """Return two lines from corner to corner, cut out around the word in the middle."""
    dx, dy = width * 0.3, STRIP * 0.3
    corners = ((x, y, 1, 1), (x + width, y, -1, 1), (x, y + STRIP, 1, -1))
    ends = (*corners, (x + width, y + STRIP, -1, -1))
    return "".join(f"M{cx:.1f} {cy:.1f}l{sx * dx:.1f} {sy * dy:.1f}" for cx, cy, sx, sy in ends)


def _rows(facts: WeatherFacts) -> tuple[TableRow, ...]:
    """Return the same, an hour a row."""
    return tuple(
        TableRow(
            hour.at,
            "unknown" if hour.value is None else f"{hour.value:.0f}{facts.unit}",
            tuple((strip.name, strip.cells[i]) for strip in facts.strips),
        )
        for i, hour in enumerate(facts.hours)
    )
