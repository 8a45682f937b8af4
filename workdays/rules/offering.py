"""Until when an offered place is held for an answer: shorter as the cut-off nears, not by night."""

from datetime import UTC, datetime, time, timedelta, tzinfo

LONGEST = timedelta(hours=24)
SHORTEST = timedelta(hours=2)
PART_OF_WHAT_IS_LEFT = 4  # a quarter, so that three more people can be asked before the cut-off
WAKES, RESTS = time(8), time(21)


def answer_by(*, cut_off_at: datetime, now: datetime, zone: tzinfo) -> datetime:
    """Return until when somebody who is offered a place now may take it.

    A quarter of the time to the cut-off, at least two hours and at most a day; a moment between
    21:00 and 8:00 by the clock at the cemetery becomes 8:00, for people sleep. Never past the
    cut-off. All of it common practice, no source.
    """
    wait = min(max((cut_off_at - now) / PART_OF_WHAT_IS_LEFT, SHORTEST), LONGEST)
    return min(_awake((now + wait).astimezone(zone)).astimezone(UTC), cut_off_at)


def _awake(shown: datetime) -> datetime:
    """Return a moment by the clock, or the next 8:00 where it falls into the night."""
    clock = shown.time()
    if WAKES <= clock < RESTS:
        return shown
    on = shown.date() if clock < WAKES else shown.date() + timedelta(days=1)
    return datetime.combine(on, WAKES, shown.tzinfo)
