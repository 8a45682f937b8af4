"""From what a clock on the wall shows to a moment, and back: the two nights when clocks change."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo


class NoSuchTime(ValueError):  # noqa: N818  # an answer, not an error
    """A time that no clock at this place shows on this date: the clocks jump over it."""


def moment(on: date, at: time, zone: ZoneInfo) -> datetime:
    """Return the moment, in UTC, at which clocks of a zone show a time on a date.

    A time that comes twice (clocks go back) is the first of the two.
    Raises NoSuchTime for one that is jumped over (clocks go forward).
    """
    shown = datetime.combine(on, at.replace(tzinfo=None, fold=0))
    found = shown.replace(tzinfo=zone).astimezone(UTC)
    if found.astimezone(zone).replace(tzinfo=None, fold=0) != shown:
        raise NoSuchTime(f"{on} {at}")
    return found


def hour(at: time | datetime) -> str:
    """Return a time as people say it here: 9:00, 14:30."""
    return f"{at.hour}:{at.minute:02d}"


def day_words(on: date, *, today: date | None = None) -> str:
    """Return "Saturday 9 May"; with the year when it is not that of ``today``."""
    words = f"{on:%A} {on.day} {on:%B}"
    return words if today is None or on.year == today.year else f"{words} {on.year}"


def on_quarter(at: time) -> bool:
    """Return whether a time is a full quarter of an hour."""
    return at.minute % 15 == 0 and at.second == 0 and at.microsecond == 0


def evening_before(on: date) -> datetime:
    """Return 18:00 of the day before, as the clock shows it (no zone)."""
    return datetime.combine(on - timedelta(days=1), time(18))


def quarters(starts_at: datetime, ends_at: datetime) -> list[datetime]:
    """Return each quarter hour from start to end, both included."""
    steps = int((ends_at - starts_at) / timedelta(minutes=15))
    return [starts_at + n * timedelta(minutes=15) for n in range(steps + 1)]
