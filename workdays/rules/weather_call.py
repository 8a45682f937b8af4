"""From verdicts by hour to words and to what the rules propose for a day; a person decides.

Also the quarter hours in which weather lets a kind of work be planned.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from enum import StrEnum
from itertools import groupby

from workdays.rules.kinds import KindFacts
from workdays.rules.wall_clock import hour
from workdays.rules.weather import HOUR, HourVerdict, Verdict, Window

QUARTER = timedelta(minutes=15)
LEAST_WORTH_COMING = timedelta(hours=2)

Rows = Sequence[HourVerdict]


class Decision(StrEnum):
    """What can be decided for a day; the words in which a call is stored."""

    STANDS = "stands"
    SHORTENED = "shortened"
    MOVED = "moved"
    CALLED_OFF = "called_off"


@dataclass(frozen=True, slots=True)
class Proposal:
    """What the rules propose; `reasons` are the sentences of what stops work, each once."""

    decision: Decision
    starts_at: datetime
    ends_at: datetime
    sentence: str
    reasons: tuple[str, ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Opening:
    """Quarter hours from the start of the day in which work can be planned; `end` is exclusive.

    `watched` are the stretches inside it that are on watch.
    """

    start: int
    end: int
    watched: tuple[tuple[int, int], ...] = field(default=())


def proposal(
    kinds: Iterable[KindFacts],
    verdicts: Mapping[str, Rows],
    *,
    window: Window,
    has_rain_date: bool,
) -> Proposal:
    """Return what the rules propose for the work meant for a day.

    Work that has no two hours together is left out; if none has, the day moves or is called off.
    If what is left shares at least half the day without a break, the day is shortened to that;
    otherwise it stands and each kind keeps to its own hours.
    """
    meant = list(kinds)
    reasons = _off_reasons([verdicts[kind.key] for kind in meant])
    possible = [kind for kind in meant if _is_worth_it(verdicts[kind.key], window)]
    if meant and not possible:
        return _given_up(window, reasons, has_rain_date=has_rain_date)
    span = _shared(meant, [verdicts[kind.key] for kind in possible], window)
    cut = _cut_words(span, window)
    sentence = ", ".join([*cut, *_pieces(meant, verdicts, span)])
    decision = Decision.SHORTENED if cut else Decision.STANDS
    sentence = sentence[:1].upper() + sentence[1:] + "."
    return Proposal(decision, span.starts_at, span.ends_at, sentence, reasons)


def heading(
    kinds: Iterable[KindFacts],
    verdicts: Mapping[str, Rows],
    *,
    day: str,
    place: str,
) -> str:
    """Return the answer of the call in one sentence: "Saturday at Alder Hill: raking can go on".

    `day` and `place` are words. Kinds with the same answer are named together.
    """
    said = [(activity(kind), _phrase(verdicts[kind.key])) for kind in kinds]
    answers = ", ".join(_grouped(said)) or "no work is planned"
    return f"{day} at {place}: {answers}"


def activity(kind: KindFacts) -> str:
    """Return the name of a kind as it stands inside a sentence."""
    return kind.name[:1].lower() + kind.name[1:]


def workable(rows: Rows, *, window: Window) -> tuple[Opening, ...]:
    """Return when one kind of work can be planned: off hours removed, watch kept and marked."""
    openings = []
    for is_off, hours in groupby(rows, key=_is_off):
        stretch = list(hours)
        if not is_off:
            start, end = _quarters(stretch, window)
            openings.append(Opening(start, end, _watched(stretch, window)))
    return tuple(openings)


def _is_off(row: HourVerdict) -> bool:
    return row.verdict is Verdict.OFF


def _quarters(stretch: Rows, window: Window) -> tuple[int, int]:
    """Return a stretch of hours as quarter hours from the start of the day, cut to the day."""
    span = _span(stretch, window)
    return (
        _length(Window(window.starts_at, span.starts_at)) // QUARTER,
        _length(Window(window.starts_at, span.ends_at)) // QUARTER,
    )


def _watched(stretch: Rows, window: Window) -> tuple[tuple[int, int], ...]:
    runs = groupby(stretch, key=lambda row: row.verdict)
    return tuple(
        _quarters(list(hours), window) for verdict, hours in runs if verdict is Verdict.WATCH
    )


def _span(stretch: Rows, window: Window) -> Window:
    """Return from when to when a stretch of hours lasts, cut to the day; moments, not clocks."""
    last = _later(stretch[-1].at, HOUR)
    return Window(
        max(stretch[0].at, window.starts_at, key=datetime.timestamp),
        min(last, window.ends_at, key=datetime.timestamp),
    )


def _later(at: datetime, by: timedelta) -> datetime:
    """Add to the moment, not to the clock: on a clock change the two differ."""
    return datetime.fromtimestamp(at.timestamp() + by.total_seconds(), tz=at.tzinfo)


def _length(span: Window) -> timedelta:
    return timedelta(seconds=span.ends_at.timestamp() - span.starts_at.timestamp())


def _longest(rows: Rows, window: Window) -> Window | None:
    """Return the longest stretch without an hour off, the first of equals."""
    runs = [list(hours) for is_off, hours in groupby(rows, key=_is_off) if not is_off]
    spans = [_span(run, window) for run in runs]
    return max(spans, key=_length, default=None)


def _is_worth_it(rows: Rows, window: Window) -> bool:
    longest = _longest(rows, window)
    return longest is not None and _length(longest) >= min(LEAST_WORTH_COMING, _length(window))


def _shared(meant: list[KindFacts], rows: list[Rows], window: Window) -> Window:
    """Return the hours in which all of the possible work can go on, or the whole day."""
    if not meant:
        return window
    together = [HourVerdict(hours[0].at, _worst(hours)) for hours in zip(*rows, strict=True)]
    span = _longest(together, window)
    if span is None or _length(span) * 2 < _length(window):
        return window
    return _after_waiting(rows, span)


def _worst(hours: Iterable[HourVerdict]) -> Verdict:
    return Verdict.OFF if any(_is_off(row) for row in hours) else Verdict.ON


def _after_waiting(rows: list[Rows], span: Window) -> Window:
    """Start when the last kind that was off before is on, not only on watch."""
    waits = [moment for row in rows if (moment := _opens_at(row)) and moment < span.ends_at]
    return Window(max([span.starts_at, *waits]), span.ends_at)


def _opens_at(rows: Rows) -> datetime | None:
    """Return when work that is off at first may begin: its first hour on, else on watch.

    None when it is not off at first, or off all day.
    """
    if not _is_off(rows[0]):
        return None
    rest = [row for row in rows if not _is_off(row)]
    on = [row.at for row in rest if row.verdict is Verdict.ON]
    return next(iter([*on, *(row.at for row in rest)]), None)


def _cut_words(span: Window, window: Window) -> list[str]:
    words = []
    if span.starts_at > window.starts_at:
        words.append(f"start at {hour(span.starts_at)}")
    if span.ends_at < window.ends_at:
        words.append(f"end at {hour(span.ends_at)}")
    return [" and ".join(words)] if words else []


def _pieces(meant: list[KindFacts], verdicts: Mapping[str, Rows], span: Window) -> list[str]:
    """Return what is said of each kind within the hours that are proposed."""
    if not meant:
        return ["no work is planned"]
    inside = {
        kind.key: [row for row in verdicts[kind.key] if _touches(row, span)] for kind in meant
    }
    return _grouped([(activity(kind), _phrase(inside[kind.key])) for kind in meant])


def _touches(row: HourVerdict, span: Window) -> bool:
    return row.at < span.ends_at and _later(row.at, HOUR) > span.starts_at


def _given_up(window: Window, reasons: tuple[str, ...], *, has_rain_date: bool) -> Proposal:
    decision = Decision.MOVED if has_rain_date else Decision.CALLED_OFF
    act = "move to the rain date" if has_rain_date else "call the day off"
    sentence = f"No work has two hours together: {act}."
    return Proposal(decision, window.starts_at, window.ends_at, sentence, reasons)


def _off_reasons(rows: Iterable[Rows]) -> tuple[str, ...]:
    """Return one sentence for each limit that stops work, in the order met."""
    by_limit: dict[str, str] = {}
    for row in (row for kind in rows for row in kind):
        for reason in row.reasons:
            if reason.verdict is Verdict.OFF:
                by_limit.setdefault(reason.limit, reason.sentence)
    return tuple(by_limit.values())


def _phrase(rows: Rows) -> str:
    """Return what the hours say of one kind; "{is}" stands for is or are."""
    stops = [row for row in rows if _is_off(row)]
    if not stops:
        return "can go on"
    if len(stops) == len(rows):
        return "{is} off all day"
    runs = [list(hours) for is_off, hours in groupby(rows, key=_is_off) if not is_off]
    if len(runs) > 1:
        return _phrase_with_pauses(rows)
    starts, ends = _opens_at(rows), _later(runs[0][-1].at, HOUR)
    if starts is None:
        return f"must end by {hour(ends)}"
    if not _is_off(rows[-1]):
        return f"must wait until {hour(starts)}"
    return f"can go on from {hour(starts)} to {hour(ends)}"


def _phrase_with_pauses(rows: Rows) -> str:
    pauses = [list(hours) for is_off, hours in groupby(rows, key=_is_off) if is_off]
    words = [f"from {hour(run[0].at)} to {hour(_later(run[-1].at, HOUR))}" for run in pauses]
    return f"must stop {' and '.join(words)}"


def _grouped(said: Iterable[tuple[str, str]]) -> list[str]:
    """Return one piece for each phrase, naming all the kinds of work it is true of."""
    kinds_by_phrase: dict[str, list[str]] = {}
    for name, phrase in said:
        kinds_by_phrase.setdefault(phrase, []).append(name)
    return [
        f"{_listed(names)} {phrase.replace('{is}', 'is' if len(names) == 1 else 'are')}"
        for phrase, names in kinds_by_phrase.items()
    ]


def _listed(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]]) if names[1:] else names[0]
