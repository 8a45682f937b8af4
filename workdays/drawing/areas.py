"""A cemetery too large to draw every stone at once: each section as an area with what it holds.

Each area opens its section. Its card counts the stones by state in little bars; where stones were
asked for, the filled part of a bar is those that are meant, and the number says how many.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from workdays.drawing import signs
from workdays.drawing.ground import BARS_FT, METRES_IN_A_FOOT
from workdays.drawing.ground_facts import GroundFacts, SectionFacts
from workdays.drawing.ground_layout import Laid, extent, lay_out, side_by_side
from workdays.drawing.ground_measures import trusted
from workdays.drawing.plane import Box, Point, box_of, spread
from workdays.drawing.words import shortened

CARD, CARD_HIGH = 188.0, 124.0
APART_PX = 10.0
WIDEST_PX = 1200.0
MARGIN_PX = 16.0
FOOT_PX = 64.0
BAR_LOW, BAR_HIGH, BAR = 94.0, 34.0, 15.0
COLUMN = 26.0


@dataclass(frozen=True)
class BarPlace:
    """One state in a card: its sign, its column's middle, its bar, and the number above it.

    ``full`` is the bar of all stones, ``part`` that of those that are meant.
    """

    sign: signs.Sign
    x: float
    full: float
    part: float
    words: str
    number_y: float


@dataclass(frozen=True)
class AreaPlace:
    """A section: its outline, and the place of its card at the upper left."""

    facts: SectionFacts
    points: str
    x: float
    y: float
    title: str
    words: str
    bars: tuple[BarPlace, ...]

    @property
    def spoken(self) -> str:
        """Return what is read aloud."""
        held = ", ".join(f"{bar.words} {bar.sign.words}" for bar in self.bars if bar.part)
        return f"{self.facts.name}: {self.words}" + (f"; {held}" if held else "")


@dataclass(frozen=True)
class Picture:
    """The areas ready to be written as SVG; lengths in pixels."""

    title: str
    width: float
    height: float
    areas: tuple[AreaPlace, ...]
    symbols: tuple[signs.Sign, ...]
    notes: tuple[str, ...] = ()
    scale_px: float = 0.0
    scale_words: str = ""
    key: str = "areas"
    text: float = 1.0
    bar_x: float = -54.0
    bar_y: float = -14.0
    word_size: float = 14.0

    @property
    def legend(self) -> tuple[signs.Sign, ...]:
        """Return the signs under the bars."""
        return self.symbols

    @property
    def wide(self) -> bool:
        """Return whether a sheet of paper should lie on its long side."""
        return self.width > self.height


def draw_areas(facts: GroundFacts, *, asked: bool, key: str = "areas") -> Picture:
    """Return the sections of a cemetery as areas; ``asked`` counts only the marked stones."""
    sections, doubts = trusted(facts.sections)
    layout = lay_out(sections)
    laid = _whole(layout.laid)
    scale, near = _scale(laid)
    if near:
        laid = side_by_side(laid)
        scale, _ = _scale(laid)
    origin = extent(laid)
    shapes = [
        [((x - origin.left) * scale, (y - origin.top) * scale) for x, y in one.outline]
        for one in laid
    ]
    cards = _cards(shapes)
    points = [p for shape in shapes for p in shape]
    points += [p for x, y in cards for p in ((x, y), (x + CARD, y + CARD_HIGH))]
    box = box_of(points) if points else Box(0, 0, CARD, CARD_HIGH)
    move = (MARGIN_PX - box.left, MARGIN_PX - box.top)
    bar_ft = min(BARS_FT, key=lambda feet: abs(feet * METRES_IN_A_FOOT * scale - 100))
    return Picture(
        title=facts.title,
        width=round(box.width + 2 * MARGIN_PX),
        height=round(box.height + 2 * MARGIN_PX + FOOT_PX),
        areas=tuple(
            _area(one.facts, shape, card, move, asked=asked)
            for one, shape, card in zip(laid, shapes, cards, strict=True)
        ),
        symbols=signs.states({s.state for section in facts.sections for s in section.stones}),
        notes=doubts,
        scale_px=round(bar_ft * METRES_IN_A_FOOT * scale, 1) if layout.measured else 0.0,
        scale_words=f"{bar_ft} ft",
        key=key,
    )


def _whole(laid: Sequence[Laid]) -> tuple[Laid, ...]:
    """Return each section once: the measured part speaks for what was not measured."""
    parts: dict[str, list[Laid]] = {}
    for one in laid:
        parts.setdefault(one.facts.name, []).append(one)
    return tuple(
        replace(
            first,
            facts=replace(
                first.facts, stones=tuple(s for one in (first, *more) for s in one.facts.stones)
            ),
            feet=(),
        )
        for first, *more in parts.values()
    )


def _scale(laid: Sequence[Laid]) -> tuple[float, bool]:
    """Return pixels a metre: most areas as wide as a card, all within the width of a page.

    The second says that areas would be specks, so far do they lie apart.
    """
    widths = sorted(box_of(one.outline).width for one in laid)
    if not widths:
        return 1.0, False
    usual = max(widths[len(widths) // 4], 1.0)
    fits = WIDEST_PX / max(extent(laid).width, 1.0)
    return min(fits, (CARD + 12) / usual), len(laid) > 1 and usual * fits < 24


def _cards(shapes: Sequence[Sequence[Point]]) -> list[Point]:
    """Return the upper left corner of each card: in the middle of its area, none on another."""
    wanted = []
    for shape in shapes:
        box = box_of(shape)
        wanted.append(((box.left + box.right - CARD) / 2, (box.top + box.bottom - CARD_HIGH) / 2))
    return spread(wanted, width=CARD + APART_PX, height=CARD_HIGH + APART_PX)


def _area(
    facts: SectionFacts, shape: Sequence[Point], card: Point, move: Point, *, asked: bool
) -> AreaPlace:
    """Return one section with its card."""
    marked = sum(stone.marked for stone in facts.stones)
    total = len(facts.stones)
    words = "1 stone" if total == 1 else f"{total} stones"
    return AreaPlace(
        facts=facts,
        points=" ".join(f"{round(x + move[0]):g},{round(y + move[1]):g}" for x, y in shape),
        x=round(card[0] + move[0]),
        y=round(card[1] + move[1]),
        title=shortened(facts.name, CARD - 20, 17, bold=True),
        words=f"{marked} of {words}" if asked else words,
        bars=_bars(facts, asked=asked),
    )


def _bars(facts: SectionFacts, *, asked: bool) -> tuple[BarPlace, ...]:
    """Return a bar for each state that occurs, gravest first; the longest has the full height."""
    counts = Counter(stone.state for stone in facts.stones)
    meant = Counter(stone.state for stone in facts.stones if stone.marked or not asked)
    most = max(counts.values(), default=1)
    bars = []
    for place, state in enumerate(state for state in signs.STATE_WORDS if counts[state]):
        full = round(max(BAR_HIGH * counts[state] / most, 1.5), 1)
        bars.append(
            BarPlace(
                sign=replace(signs.stone("tablet", state), words=signs.STATE_WORDS[state]),
                x=round(COLUMN * (place + 0.5) + 3, 1),
                full=full,
                part=round(full * meant[state] / counts[state], 1),
                words=str(meant[state]),
                number_y=round(BAR_LOW - full - 3, 1),
            )
        )
    return tuple(bars)
