"""Whether a workday can be as somebody wishes it: date, times, break, places, dates around it.

The bounds (two years ahead, twelve hours, five hundred people, sixty days to a rain date) are
our own, against slips of the keyboard; no source.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import (
    NoSuchTime,
    day_words,
    evening_before,
    hour,
    moment,
    on_quarter,
)

FARTHEST = timedelta(days=731)
LONGEST = timedelta(hours=12)
RAIN_WITHIN = timedelta(days=60)
ASKED_WITHIN = timedelta(days=90)
MOST_PEOPLE = 500
MOST_OF_A_KIND = 500


@dataclass(frozen=True)
class DayFrame:
    """A day as it is asked for; times as the clock at the cemetery shows them.

    ``cut_off`` and ``call_by`` are without a zone, None for 18:00 of the evening before.
    ``keeps`` holds moments that were stored already and may lie in the past.
    """

    on: date
    starts: time
    ends: time
    zone: ZoneInfo
    break_from: time | None = None
    break_to: time | None = None
    rain_on: date | None = None
    cut_off: datetime | None = None
    call_by: datetime | None = None
    capacity: int = 20
    fewest: int = 4
    is_clinic: bool = False
    teaches: str = ""
    equipment: Mapping[str, int] = field(default_factory=dict)
    keeps: frozenset[datetime] = frozenset()


@dataclass(frozen=True)
class BlockTimes:
    """A stretch of a day, in UTC."""

    name: str
    is_work: bool
    starts_at: datetime
    ends_at: datetime


def _date_refusals(frame: DayFrame, now: datetime) -> Iterator[Refusal]:
    today = now.astimezone(frame.zone).date()
    if frame.on < today:
        yield Refusal("day_past", f"{day_words(frame.on, today=today)} is in the past.")
    if frame.on - today > FARTHEST:
        yield Refusal("day_far", "This date is more than two years ahead; check the year.")


def _clock_refusals(frame: DayFrame) -> Iterator[Refusal]:
    named = {
        "starts": frame.starts,
        "ends": frame.ends,
        "break_from": frame.break_from,
        "break_to": frame.break_to,
    }
    for name, at in named.items():
        if at is None:
            continue
        if not on_quarter(at):
            yield Refusal(f"{name}_quarter", f"{hour(at)} is not a full quarter of an hour.")
            continue
        try:
            moment(frame.on, at, frame.zone)
        except NoSuchTime:
            sentence = (
                f"There is no {hour(at)} on {day_words(frame.on)}: "
                "the clocks go forward over it. Take another time."
            )
            yield Refusal(f"{name}_no_such_time", sentence)


def _length_refusals(frame: DayFrame, now: datetime) -> Iterator[Refusal]:
    starts_at = moment(frame.on, frame.starts, frame.zone)
    ends_at = moment(frame.on, frame.ends, frame.zone)
    if ends_at <= starts_at:
        yield Refusal("end_before_start", "The day ends before it starts.")
    elif ends_at - starts_at > LONGEST:
        yield Refusal("day_too_long", "A day lasts twelve hours at most.")
    if starts_at <= now and starts_at not in frame.keeps:
        yield Refusal("start_past", f"{hour(frame.starts)} has passed already.")


def _break_refusals(frame: DayFrame) -> Iterator[Refusal]:
    if frame.break_from is None and frame.break_to is None:
        return
    if frame.break_from is None or frame.break_to is None:
        yield Refusal("break_half", "Give both ends of the break, or neither.")
        return
    if frame.break_to <= frame.break_from:
        yield Refusal("break_backwards", "The break ends before it starts.")
    elif not frame.starts < frame.break_from or not frame.break_to < frame.ends:
        yield Refusal(
            "break_outside",
            f"The break must lie between {hour(frame.starts)} and {hour(frame.ends)}, "
            "with work before and after it.",
        )


def _rain_refusals(frame: DayFrame) -> Iterator[Refusal]:
    if frame.rain_on is None:
        return
    if frame.rain_on <= frame.on:
        yield Refusal("rain_not_after", "The rain date must come after the day itself.")
    elif frame.rain_on - frame.on > RAIN_WITHIN:
        yield Refusal("rain_far", "The rain date must lie within 60 days of the day.")
    elif not _every_time_exists_on(frame, frame.rain_on):
        yield Refusal(
            "rain_no_such_time",
            "On the rain date the clocks go forward over one of the times of the day.",
        )


def _every_time_exists_on(frame: DayFrame, on: date) -> bool:
    shown = (frame.starts, frame.ends, frame.break_from, frame.break_to)
    try:
        return all(moment(on, at, frame.zone) for at in shown if at is not None)
    except NoSuchTime:
        return False


def _deadline_refusals(frame: DayFrame, now: datetime) -> Iterator[Refusal]:
    named = {"cut_off": (frame.cut_off, "places"), "call_by": (frame.call_by, "the weather call")}
    for name, (shown, what) in named.items():
        if shown is None:
            continue
        if not timedelta() <= frame.on - shown.date() <= ASKED_WITHIN:
            sentence = f"The last moment for {what} must lie in the 90 days before the start."
            yield Refusal(f"{name}_far", sentence)
            continue
        yield from _deadline_moment_refusals(frame, name, shown, what, now)


def _deadline_moment_refusals(
    frame: DayFrame, name: str, shown: datetime, what: str, now: datetime
) -> Iterator[Refusal]:
    try:
        at = moment(shown.date(), shown.time(), frame.zone)
    except NoSuchTime:
        yield Refusal(
            f"{name}_no_such_time",
            f"There is no {hour(shown)} on {day_words(shown.date())}: the clocks go forward.",
        )
        return
    if at > moment(frame.on, frame.starts, frame.zone):
        yield Refusal(f"{name}_late", f"The last moment for {what} comes after the start.")
    elif at <= now and at not in frame.keeps:
        yield Refusal(f"{name}_past", f"The last moment for {what} has passed already.")


def _people_refusals(frame: DayFrame) -> Iterator[Refusal]:
    if not 2 <= frame.capacity <= MOST_PEOPLE:
        yield Refusal("capacity", f"A day takes 2 to {MOST_PEOPLE} people: nobody works alone.")
    if frame.fewest < 2:
        yield Refusal("fewest", "A day needs two people at least: nobody works alone.")
    elif frame.fewest > frame.capacity:
        yield Refusal("fewest_over_capacity", "The fewest people are more than the places.")
    if frame.is_clinic and not frame.teaches:
        yield Refusal("clinic_without_skill", "Say which skill the clinic teaches.")
    for key, count in frame.equipment.items():
        if not 0 <= count <= MOST_OF_A_KIND:
            yield Refusal(f"equipment_{key}", f"Between 0 and {MOST_OF_A_KIND}.")


def refusals(frame: DayFrame, *, now: datetime) -> list[Refusal]:
    """Return everything that keeps a day from being as it is asked for; empty when it can be."""
    found = [*_date_refusals(frame, now), *_people_refusals(frame)]
    if any(r.code in {"day_past", "day_far"} for r in found):
        return found  # what the clocks show in the year 1 or 9999 is no question
    clock = list(_clock_refusals(frame))
    found += clock
    if not clock:
        found += _length_refusals(frame, now)
        found += _break_refusals(frame)
        found += _rain_refusals(frame)
        found += _deadline_refusals(frame, now)
    return found


def times(frame: DayFrame) -> tuple[datetime, datetime]:
    """Return start and end of a day without refusals, in UTC."""
    return (
        moment(frame.on, frame.starts, frame.zone),
        moment(frame.on, frame.ends, frame.zone),
    )


def deadline(frame: DayFrame, shown: datetime | None, *, now: datetime) -> datetime:
    """Return a last moment in UTC.

    Not given: 18:00 of the evening before; an hour before the start where that has passed;
    the start itself where that has passed too.
    """
    if shown is not None:
        return moment(shown.date(), shown.time(), frame.zone)
    starts_at = moment(frame.on, frame.starts, frame.zone)
    evening = evening_before(frame.on)
    choices = (moment(evening.date(), evening.time(), frame.zone), starts_at - timedelta(hours=1))
    return next((at for at in choices if at > now), starts_at)


def blocks(frame: DayFrame) -> tuple[BlockTimes, ...]:
    """Return work, break and work of a day without refusals; one block when there is no break."""
    starts_at, ends_at = times(frame)
    if frame.break_from is None or frame.break_to is None:
        return (BlockTimes("whole day", True, starts_at, ends_at),)
    pause_at = moment(frame.on, frame.break_from, frame.zone)
    on_at = moment(frame.on, frame.break_to, frame.zone)
    before, pause, after = _block_names(frame.break_from, frame.break_to)
    return (
        BlockTimes(before, True, starts_at, pause_at),
        BlockTimes(pause, False, pause_at, on_at),
        BlockTimes(after, True, on_at, ends_at),
    )


def _block_names(break_from: time, break_to: time) -> tuple[str, str, str]:
    if time(11) <= break_from and break_to <= time(14, 30):
        return "morning", "lunch", "afternoon"
    return "first half", "break", "second half"
