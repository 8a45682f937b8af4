"""A day's crew plan as a timeline: crews down, hours across, work as bars with its sign.

Fill ``DayFacts`` and give ``draw(facts)`` to ``workdays/svg/_timeline.html`` as ``picture``. Times
are minutes since midnight on the cemetery's clock; past midnight they go on above 1440.
"""

from dataclasses import dataclass

from workdays.drawing import signs
from workdays.drawing.words import lines, shortened

LEFT, WIDTH, TOP = 196.0, 1200.0, 44.0
LANE, BAR, PAD = 84.0, 58.0, 2.0
TITLE_SIZE, TEXT_SIZE = 15.0, 13.5
SIGN_ROOM = 40.0


@dataclass(frozen=True)
class BarFacts:
    """One piece of work of a crew. ``sign`` as in ``signs.WORK_WORDS``; ``title`` is the kind of
    work, ``text`` where and with what. ``watch`` marks work in a doubtful hour: a word and a shape.
    """

    begin: int
    end: int
    sign: str
    title: str
    text: str = ""
    href: str = ""
    watch: bool = False

    @property
    def times(self) -> str:
        """Return from when to when, as a clock shows it."""
        return f"{clock(self.begin)} to {clock(self.end)}"

    @property
    def words(self) -> str:
        """Return the bar in a sentence."""
        said = f"{self.times}: {self.title}" + (f", {self.text}" if self.text else "")
        return f"{said}, weather on watch" if self.watch else said


@dataclass(frozen=True)
class CrewFacts:
    """One crew over the day; ``words`` are the small lines under its name: who leads, how many."""

    name: str
    words: tuple[str, ...] = ()
    bars: tuple[BarFacts, ...] = ()
    href: str = ""


@dataclass(frozen=True)
class BandFacts:
    """A stretch of the day across all crews; ``kind``: break, watch, off."""

    begin: int
    end: int
    kind: str
    word: str

    @property
    def times(self) -> str:
        """Return from when to when, as a clock shows it."""
        return f"{clock(self.begin)} to {clock(self.end)}"


@dataclass(frozen=True)
class DayFacts:
    """A day to draw. ``title`` is what the picture is called when read aloud."""

    title: str
    begin: int
    end: int
    crews: tuple[CrewFacts, ...] = ()
    bands: tuple[BandFacts, ...] = ()


@dataclass(frozen=True)
class HourLine:
    """A line of the grid with its hour."""

    x: float
    words: str


@dataclass(frozen=True)
class TextLine:
    """One line of text and how far down it stands."""

    y: float
    words: str


@dataclass(frozen=True)
class BandPlace:
    """A band in pixels."""

    x: float
    width: float
    height: float
    middle: float
    facts: BandFacts


@dataclass(frozen=True)
class BarPlace:
    """A bar in pixels; ``title`` and ``lines`` are what fits, ``facts.words`` is everything.

    ``sign_x`` is None where the bar is too narrow for its sign.
    """

    x: float
    y: float
    width: float
    height: float
    sign: signs.Sign
    sign_x: float | None
    sign_y: float
    text_x: float
    title_y: float
    title: str
    lines: tuple[TextLine, ...]
    facts: BarFacts


@dataclass(frozen=True)
class CrewPlace:
    """A crew's lane in pixels; ``lines`` are shortened to the margin."""

    top: float
    bottom: float
    name: str
    name_y: float
    lines: tuple[TextLine, ...]
    bars: tuple[BarPlace, ...]
    facts: CrewFacts


@dataclass(frozen=True)
class Picture:
    """A timeline ready to be written as SVG; lengths in pixels."""

    title: str
    width: float
    height: float
    top: float
    bottom: float
    word_y: float
    hours: tuple[HourLine, ...]
    bands: tuple[BandPlace, ...]
    crews: tuple[CrewPlace, ...]
    key: str


def draw(facts: DayFacts, *, key: str = "day") -> Picture:
    """Return the timeline of a day; ``key`` keeps ids apart where a page has two."""
    begin, end = _span(facts)
    scale = (WIDTH - LEFT - 24) / (end - begin)

    def x(minute: int) -> float:
        return round(LEFT + (minute - begin) * scale, 1)

    bottom = TOP + LANE * len(facts.crews) + 22
    return Picture(
        title=facts.title,
        width=WIDTH,
        height=bottom + 6,
        top=TOP,
        bottom=bottom,
        word_y=bottom - 6,
        hours=tuple(HourLine(x(m), clock(m)) for m in _ticks(begin, end)),
        bands=tuple(
            _band(b, x(max(b.begin, begin)), x(min(b.end, end)), bottom - TOP)
            for b in facts.bands
            if min(b.end, end) > max(b.begin, begin)
        ),
        crews=tuple(
            _crew(crew, TOP + LANE * i, begin=begin, scale=scale)
            for i, crew in enumerate(facts.crews)
        ),
        key=key,
    )


def _band(band: BandFacts, left: float, right: float, height: float) -> BandPlace:
    """Return a band between two places."""
    return BandPlace(left, round(right - left, 1), height, round((left + right) / 2, 1), band)


def clock(minute: int) -> str:
    """Return minutes since midnight as a clock shows them: 9:00."""
    return f"{minute // 60 % 24}:{minute % 60:02d}"


def _span(facts: DayFacts) -> tuple[int, int]:
    """Return first and last minute to draw: the day, widened to hold all its work."""
    bars = [bar for crew in facts.crews for bar in crew.bars]
    begin = min([facts.begin, *(b.begin for b in bars)])
    end = max([facts.end, begin + 60, *(b.end for b in bars)])
    return begin, end


def _ticks(begin: int, end: int) -> list[int]:
    """Return the full hours, at most about a dozen."""
    step = 60 * max(1, -(-(end - begin) // (60 * 12)))
    first = -(-begin // step) * step
    return list(range(first, end + 1, step))


def _crew(crew: CrewFacts, top: float, *, begin: int, scale: float) -> CrewPlace:
    """Return a crew's lane with its bars."""
    room = LEFT - 14
    return CrewPlace(
        top=top,
        bottom=top + LANE,
        name=shortened(crew.name, room, 18.0, bold=True),
        name_y=top + 28,
        lines=tuple(
            TextLine(top + 49 + 18 * i, shortened(w, room, TEXT_SIZE))
            for i, w in enumerate(crew.words[:2])
        ),
        bars=tuple(
            _bar(bar, top, begin=begin, scale=scale) for bar in sorted(crew.bars, key=_by_begin)
        ),
        facts=crew,
    )


def _by_begin(bar: BarFacts) -> tuple[int, int]:
    """Return what bars are sorted by."""
    return bar.begin, bar.end


def _bar(bar: BarFacts, top: float, *, begin: int, scale: float) -> BarPlace:
    """Return a bar with as much of its words as it holds; two lines of text before it cuts."""
    x = LEFT + (bar.begin - begin) * scale + PAD
    width = max((bar.end - bar.begin) * scale - 2 * PAD, 3.0)
    with_sign = width >= 30
    room = width - (SIGN_ROOM if with_sign else 6) - 6
    title = shortened(bar.title, room, TITLE_SIZE, bold=True)
    text = lines(bar.text, room, TEXT_SIZE, most=2) if len(title) > 2 else ()
    y = round(top + (LANE - BAR) / 2, 1)
    title_y = y + (25 if len(text) < 2 else 19)
    return BarPlace(
        x=round(x, 1),
        y=y,
        width=round(width, 1),
        height=BAR,
        sign=signs.work(bar.sign),
        sign_x=round(x + min(20.0, width / 2), 1) if with_sign else None,
        sign_y=round(y + BAR - 12, 1),
        text_x=round(x + SIGN_ROOM, 1),
        title_y=title_y,
        title=title if len(title) > 2 else "",
        lines=tuple(TextLine(title_y + 18 + 16 * i, line) for i, line in enumerate(text)),
        facts=bar,
    )
