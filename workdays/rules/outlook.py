"""From when a job can be done: the first date on which nothing blocks it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from workdays.rules.leave import PermissionFacts
from workdays.rules.readiness import (
    GroundRules,
    JobToDo,
    Season,
    months_later,
    rested_on,
    why_not_yet,
    winter_over_on,
)
from workdays.rules.refusals import Refusal, sentences
from workdays.rules.wall_clock import day_words

HORIZON_MONTHS = 36
ONE_DAY = timedelta(days=1)
# What no passing of time alone takes away: somebody must look, decide, or do other work.
STANDING = frozenset(
    {
        "conservator",
        "family",
        "leave-alone",
        "look-again",
        "no-cleaning",
        "no-conservator",
        "not-open",
        "not-seen",
        "prerequisite",
        "volunteer-resets",
    }
)


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a job stands: why not now, and from when nothing blocks it (None: not in sight)."""

    refusals: tuple[Refusal, ...]
    ready_on: date | None


def ready_on(
    job: JobToDo, start: date, *, permissions: Iterable[PermissionFacts], ground: GroundRules
) -> date | None:
    """Return the first date, from `start` on, on which `why_not_yet` finds nothing all day.

    None: not within three years, or only once somebody has done or decided something else.
    Leaps over dates that are known to be blocked; each answer is asked of `why_not_yet` itself.
    """
    leaves = [leave for leave in permissions if job.kind.key in leave.kinds]
    last, day = months_later(start, HORIZON_MONTHS), start
    while day <= last:
        refusals = why_not_yet(job, on=day, permissions=leaves, ground=ground)
        if not refusals:
            return day
        next_day = _next_day(job, day, refusals, leaves, ground)
        if next_day is None:
            return None
        day = next_day
    return None


def _next_day(
    job: JobToDo,
    day: date,
    refusals: Sequence[Refusal],
    leaves: Sequence[PermissionFacts],
    ground: GroundRules,
) -> date | None:
    """Return the next date worth asking about; None when a reason stays whatever the date."""
    found = day + ONE_DAY
    for refusal in refusals:
        if refusal.code in STANDING:
            return None
        leap = LEAPS.get(refusal.code)
        until = leap(job, day, leaves, ground) if leap else found
        if until is None:
            return None
        found = max(found, until)
    return found


def _leave_from(
    _job: JobToDo, day: date, leaves: Sequence[PermissionFacts], _ground: GroundRules
) -> date | None:
    return min((leave.starts_on for leave in leaves if leave.starts_on > day), default=None)


def _rested(
    job: JobToDo, _day: date, _leaves: Sequence[PermissionFacts], _ground: GroundRules
) -> date | None:
    """Return the first date whose midnight lies after every wait; None while one is not done."""
    done = [first.done_at for first in job.prerequisites if first.done_at]
    if len(done) < len(job.prerequisites):
        return None
    return max(_date_after(rested_on(at, job.wait_hours)) for at in done)


def _date_after(free: datetime) -> date:
    midnight = datetime.combine(free.date(), time(), tzinfo=free.tzinfo)
    return free.date() if midnight.timestamp() >= free.timestamp() else free.date() + ONE_DAY


def _wintered(
    job: JobToDo, _day: date, _leaves: Sequence[PermissionFacts], _ground: GroundRules
) -> date | None:
    done = [first.done_at for first in job.prerequisites if first.done_at]
    if len(done) < len(job.prerequisites):
        return None
    return max(winter_over_on(at.date()) for at in done)


def _in_season(
    job: JobToDo, day: date, _leaves: Sequence[PermissionFacts], _ground: GroundRules
) -> date | None:
    return next_in_season(job.season, day) if job.season else None


def _at_earliest(
    job: JobToDo, _day: date, _leaves: Sequence[PermissionFacts], _ground: GroundRules
) -> date | None:
    return job.earliest_on


def _to_clean_again(
    job: JobToDo, _day: date, _leaves: Sequence[PermissionFacts], ground: GroundRules
) -> date | None:
    return months_later(job.cleaned_on, ground.clean_again_months) if job.cleaned_on else None


Leap = Callable[[JobToDo, date, Sequence[PermissionFacts], GroundRules], "date | None"]
LEAPS: dict[str, Leap] = {
    "permission": _leave_from,
    "waiting": _rested,
    "winter": _wintered,
    "season": _in_season,
    "too-early": _at_earliest,
    "cleaned-lately": _to_clean_again,
}


def next_in_season(season: Season, day: date) -> date | None:
    """Return the first date after `day` inside a season; None: not in the next four years.

    Only a season of 29 February alone can be that far, around a century that is no leap year.
    """
    for year in range(day.year, day.year + 5):
        opens = _opens(season, year)
        if opens > day and season.holds(opens):
            return opens
    return None


def _opens(season: Season, year: int) -> date:
    """Return the first day of a season in a year; 1 March for 29 February where there is none."""
    try:
        return date(year, *season.first)
    except ValueError:
        return date(year, 3, 1)


def ready_words(outlook: Outlook, *, today: date) -> str:
    """Return in one sentence when a job can be done, or what must happen first."""
    if not outlook.refusals:
        return "Ready now."
    if outlook.ready_on:
        return f"From {day_words(outlook.ready_on, today=today)}."
    firsts = [refusal for refusal in outlook.refusals if refusal.code in STANDING]
    return " ".join(sentences(firsts or list(outlook.refusals)))
