"""What a person may decide for a day, and what a decision does to its times.

An hour is the least that a shortened day lasts: our own bound, against slips; no source.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from workdays.rules.day_frame import BlockTimes, DayFrame, deadline
from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import NoSuchTime, day_words, hour, moment, on_quarter
from workdays.rules.weather import Window
from workdays.rules.weather_call import Decision

SHORTEST = timedelta(hours=1)
MOST_WORDS = 500


@dataclass(frozen=True)
class DayToCall:
    """A day as a decision finds it; ``window`` on the clock of its cemetery.

    ``state``: draft, open, called_off or closed. ``has_roll``: somebody arrived already.
    """

    state: str
    window: Window
    rain_on: date | None
    has_roll: bool
    has_forecast: bool
    blocks: tuple[BlockTimes, ...]

    @property
    def zone(self) -> ZoneInfo:
        """Return the zone in which the clocks of the day are read."""
        zone = self.window.starts_at.tzinfo
        assert isinstance(zone, ZoneInfo)  # noqa: S101  # for the type checker
        return zone


@dataclass(frozen=True)
class Decided:
    """What somebody decides; ``span`` is the new day, in UTC, when it is shortened."""

    decision: Decision
    reason: str = ""
    span: Window | None = None


@dataclass(frozen=True)
class MovedDay:
    """A day on its rain date, in UTC."""

    blocks: tuple[BlockTimes, ...]
    starts_at: datetime
    ends_at: datetime
    deadline_at: datetime


def refusals_to_decide(day: DayToCall, wish: Decided, *, now: datetime) -> list[Refusal]:
    """Return everything that keeps a decision from being taken; empty when it may be."""
    if settled := settled_refusal(day, now):
        return [settled]
    found = list(_reason_refusals(day, wish))
    if day.window.starts_at <= now:
        found += _begun_refusals(day, wish)
    if wish.decision is Decision.SHORTENED:
        found += _span_refusals(day, wish.span, now)
    if wish.decision is Decision.MOVED:
        found += _move_refusals(day, now)
    return found


def settled_refusal(day: DayToCall, now: datetime) -> Refusal | None:
    """Return why nothing can be decided at all."""
    words = {
        "draft": "This day is not open yet: nobody needs a call. Change the day itself.",
        "called_off": "This day is called off already.",
        "closed": "This day is closed: it stays as it is.",
    }
    if day.state in words:
        return Refusal(f"day_{day.state}", words[day.state])
    if day.window.ends_at <= now:
        return Refusal("day_past", "This day is over: there is nothing left to decide.")
    return None


def _reason_refusals(day: DayToCall, wish: Decided) -> Iterator[Refusal]:
    if len(wish.reason) > MOST_WORDS:
        yield Refusal("reason", f"Say it in {MOST_WORDS} characters at most.")
    if wish.reason.strip():
        return
    if not day.has_forecast:
        yield Refusal("reason", "There is no forecast for this day: say what you decide it by.")
    elif wish.decision is not Decision.STANDS:
        yield Refusal("reason", "Say why in a few words: everybody concerned reads them.")


def _begun_refusals(day: DayToCall, wish: Decided) -> Iterator[Refusal]:
    if wish.decision is Decision.MOVED:
        yield Refusal("begun", "The day has begun: it cannot move any more. End it early instead.")
    if wish.decision is Decision.CALLED_OFF and day.has_roll:
        sentence = "People are on the roll of this day: end it early instead, so that hours count."
        yield Refusal("begun", sentence)


def _span_refusals(day: DayToCall, span: Window | None, now: datetime) -> Iterator[Refusal]:
    if span is None:
        yield Refusal("starts", "Say from when to when the day lasts now.")
        return
    yield from _edge_refusals(day, span, now)
    if span.ends_at - span.starts_at < SHORTEST:
        yield Refusal("ends", "A day lasts an hour at least; call it off instead.")
    elif (span.starts_at, span.ends_at) == (day.window.starts_at, day.window.ends_at):
        yield Refusal("starts", "These are the hours of the day as it stands.")
    elif not any(block and block.is_work for block in shortened(day.blocks, span)):
        yield Refusal("starts", "No work is left in these hours: only the break lies in them.")


def _edge_refusals(day: DayToCall, span: Window, now: datetime) -> Iterator[Refusal]:
    window = day.window
    starts, ends = (hour(at.astimezone(day.zone)) for at in (span.starts_at, span.ends_at))
    for name, at in (("starts", span.starts_at), ("ends", span.ends_at)):
        if not on_quarter(at.time()):
            words = hour(at.astimezone(day.zone))
            yield Refusal(name, f"{words} is not a full quarter of an hour.")
    if span.starts_at < window.starts_at or span.ends_at > window.ends_at:
        between = f"{hour(window.starts_at)} and {hour(window.ends_at)}"
        sentence = f"A shortened day lies between {between}; for other hours change the day itself."
        yield Refusal("starts" if span.starts_at < window.starts_at else "ends", sentence)
    elif span.starts_at > window.starts_at and span.starts_at <= now:
        yield Refusal("starts", f"{starts} has passed already.")
    elif span.ends_at < window.ends_at and span.ends_at <= now:
        yield Refusal("ends", f"{ends} has passed already.")


def _move_refusals(day: DayToCall, now: datetime) -> Iterator[Refusal]:
    if day.rain_on is None:
        yield Refusal("no_rain_date", "This day has no rain date to move to: set one first.")
        return
    try:
        moved_at = moved(day, day.rain_on, now=now).starts_at
    except NoSuchTime:
        sentence = "On the rain date the clocks go forward over one of the times of the day."
        yield Refusal("rain_no_such_time", sentence)
        return
    if moved_at <= now:
        words = day_words(day.rain_on)
        yield Refusal("rain_past", f"The rain date, {words}, has passed: set another one first.")
    elif day.rain_on <= day.window.starts_at.date():
        yield Refusal("rain_not_after", "The rain date must come after the day itself.")


def shortened(blocks: Sequence[BlockTimes], span: Window) -> list[BlockTimes | None]:
    """Return each block as the new hours leave it; None for one that is dropped.

    A break that work no longer stands on both sides of is dropped too.
    """
    cut = [_cut(block, span) for block in blocks]
    at_work = [n for n, block in enumerate(cut) if block and block.is_work]
    inside = range(at_work[0], at_work[-1] + 1) if at_work else range(0)
    return [block if n in inside else None for n, block in enumerate(cut)]


def _cut(block: BlockTimes, span: Window) -> BlockTimes | None:
    starts_at = max(block.starts_at, span.starts_at.astimezone(UTC))
    ends_at = min(block.ends_at, span.ends_at.astimezone(UTC))
    if ends_at <= starts_at:
        return None
    return BlockTimes(block.name, block.is_work, starts_at, ends_at)


def moved(day: DayToCall, on: date, *, now: datetime) -> MovedDay:
    """Return the day at the same clock times of another date, and its new last moment for answers.

    The new cut-off is 18:00 of the evening before, or later where that has passed.
    Raises NoSuchTime when the clocks of that date jump over one of the times.
    """
    start, end = day.window.starts_at, day.window.ends_at
    by = on - start.date()
    frame = DayFrame(on=on, starts=start.time(), ends=end.time(), zone=day.zone)
    return MovedDay(
        blocks=tuple(_on(block, by, day.zone) for block in day.blocks),
        starts_at=_shifted(start, by, day.zone),
        ends_at=_shifted(end, by, day.zone),
        deadline_at=deadline(frame, None, now=now),
    )


def _on(block: BlockTimes, by: timedelta, zone: ZoneInfo) -> BlockTimes:
    return BlockTimes(
        block.name,
        block.is_work,
        _shifted(block.starts_at, by, zone),
        _shifted(block.ends_at, by, zone),
    )


def _shifted(at: datetime, by: timedelta, zone: ZoneInfo) -> datetime:
    """Return the same time of the clock some dates later, in UTC."""
    shown = at.astimezone(zone)
    return moment(shown.date() + by, shown.time(), zone)
