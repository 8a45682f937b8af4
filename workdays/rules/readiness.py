"""Why a job of the backlog cannot be done yet on a date; no reason means that it is ready."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from workdays.rules.counting import some
from workdays.rules.kinds import KindFacts
from workdays.rules.leave import (
    FamilyFacts,
    PermissionFacts,
    in_quiet_hours,
    without_family,
    without_permission,
)
from workdays.rules.refusals import Refusal
from workdays.rules.triage import Conclusion, may_touch
from workdays.rules.wall_clock import day_words, hour

WINTER_BEGINS = (12, 1)
WINTER_ENDS = (4, 1)


@dataclass(frozen=True, slots=True)
class PrerequisiteFacts:
    """A job that must be done first.

    `done_at` aware, in the zone of the place; None: not done. `same_day`: it is meant for the
    same day, so that the plan itself puts it first. `dropped`: it will not be done at all.
    """

    name: str
    done_at: datetime | None = None
    same_day: bool = False
    dropped: bool = False


@dataclass(frozen=True, slots=True)
class Season:
    """The part of each year in which a job may be done; first and last are (month, day)."""

    first: tuple[int, int]
    last: tuple[int, int]

    @property
    def words(self) -> str:
        """Return the season as people say it: 1 May to 30 September."""
        return f"{_month_day(self.first)} to {_month_day(self.last)}"

    def holds(self, on: date) -> bool:
        """Whether a date lies inside; a season may run over the new year."""
        day = (on.month, on.day)
        if self.first <= self.last:
            return self.first <= day <= self.last
        return day >= self.first or day <= self.last


@dataclass(frozen=True, slots=True)
class GroundRules:
    """What the cemetery has decided where guidance differs."""

    volunteer_resets: bool
    clean_again_months: int


@dataclass(frozen=True, slots=True)
class JobToDo:
    """A job with all that may hold it up.

    `on_stone` False: work in a section, which triage does not concern. `conclusion` None: the
    stone was not seen. `led_by_conservator`: one is there to lead it. `wait_hours` must pass
    after the last prerequisite, with `after_winter` a whole winter too. `cleaned_on`: when the
    stone was cleaned last. `families`: those of the stone whose leave is wanted.
    """

    kind: KindFacts
    on_stone: bool = False
    conclusion: Conclusion | None = None
    led_by_conservator: bool = False
    prerequisites: tuple[PrerequisiteFacts, ...] = field(default=())
    wait_hours: int = 0
    after_winter: bool = False
    earliest_on: date | None = None
    season: Season | None = None
    cleaned_on: date | None = None
    families: tuple[FamilyFacts, ...] = field(default=())


def why_not_yet(
    job: JobToDo,
    *,
    on: date,
    permissions: Iterable[PermissionFacts],
    ground: GroundRules,
    starts_at: datetime | None = None,
    ends_at: datetime | None = None,
) -> list[Refusal]:
    """Return every reason why the job cannot be done on a date; empty: it is ready.

    `starts_at`: when work would begin that day, aware; None: at midnight, the stricter case.
    `ends_at`: when the day is over; with both, in the zone of the place, quiet hours count.
    """
    leave = list(permissions)
    touching = (
        may_touch(job.conclusion, job.kind, led_by_conservator=job.led_by_conservator, on=on)
        if job.on_stone
        else []
    )
    return [
        *without_permission(job.kind, leave, on),
        *(
            in_quiet_hours(job.kind, leave, starts_at=starts_at, ends_at=ends_at)
            if starts_at and ends_at
            else []
        ),
        *without_family(job.kind, job.families, on),
        *_not_for_volunteers(job, ground),
        *touching,
        *_after_others(job, on, starts_at),
        *_too_early(job, on),
        *_cleaned_lately(job, ground, on),
    ]


def rested_on(done_at: datetime, wait_hours: int) -> datetime:
    """Return when a wait is over, as the clock of the place shows it.

    Hours are counted exactly, over changes of the clock and 29 February alike.
    """
    return datetime.fromtimestamp(done_at.timestamp() + wait_hours * 3600, tz=done_at.tzinfo)


def winter_over_on(done_on: date) -> date:
    """Return the first day after the first whole winter since a date.

    A winter begins on 1 December and ends on 1 April: common practice, no source. One that has
    begun does not count, because the ground had moved before the work was done.
    """
    begun = (done_on.month, done_on.day) >= WINTER_BEGINS
    return date(done_on.year + (2 if begun else 1), *WINTER_ENDS)


def months_later(day: date, months: int) -> date:
    """Return the same day so many months later, or the last day of a shorter month."""
    years, month = divmod(day.month - 1 + months, 12)
    first_of_next = date(day.year + years + (month == 11), (month + 1) % 12 + 1, 1)
    last = (first_of_next - timedelta(days=1)).day
    return date(day.year + years, month + 1, min(day.day, last))


def _not_for_volunteers(job: JobToDo, ground: GroundRules) -> list[Refusal]:
    if not job.kind.heavy or job.kind.needs_conservator or ground.volunteer_resets:
        return []
    sentence = (
        f"Volunteers do no {job.kind.activity} at this cemetery; it is a setting of the cemetery."
    )
    return [Refusal("volunteer-resets", sentence)]


def _after_others(job: JobToDo, on: date, starts_at: datetime | None) -> list[Refusal]:
    refusals = []
    for first in job.prerequisites:
        if first.dropped or (first.done_at is None and not first.same_day):
            refusals.append(Refusal("prerequisite", f"{first.name} must be done first."))
        elif first.done_at is None and job.wait_hours:
            sentence = (
                f"{first.name} needs {some(job.wait_hours, 'hour')} of rest; not on the same day."
            )
            refusals.append(Refusal("waiting", sentence))
        elif first.done_at is None and job.after_winter:
            refusals.append(Refusal("winter", f"Only after the first winter since {first.name}."))
        elif first.done_at is not None:
            refusals += _resting(job, first.done_at, on, starts_at)
            refusals += _wintering(job, first.name, first.done_at.date(), on)
    return refusals


def _resting(
    job: JobToDo, done_at: datetime, on: date, starts_at: datetime | None
) -> list[Refusal]:
    free = rested_on(done_at, job.wait_hours)
    begins = starts_at or datetime.combine(on, time(), tzinfo=done_at.tzinfo)
    if not job.wait_hours or begins.timestamp() >= free.timestamp():
        return []
    sentence = f"What was done before must rest until {day_words(free.date())}, {hour(free)}."
    return [Refusal("waiting", sentence)]


def _wintering(job: JobToDo, name: str, done_on: date, on: date) -> list[Refusal]:
    over_on = winter_over_on(done_on)
    if not job.after_winter or on >= over_on:
        return []
    when = f"{over_on.day} {over_on:%B %Y}"
    return [Refusal("winter", f"Only after the first winter since {name}: from {when}.")]


def _too_early(job: JobToDo, on: date) -> list[Refusal]:
    refusals = []
    if job.earliest_on and on < job.earliest_on:
        words = f"{day_words(job.earliest_on)} {job.earliest_on.year}"
        refusals.append(Refusal("too-early", f"Not before {words}."))
    if job.season and not job.season.holds(on):
        sentence = f"{day_words(on)} is outside the season of this job, {job.season.words}."
        refusals.append(Refusal("season", sentence))
    return refusals


def _cleaned_lately(job: JobToDo, ground: GroundRules, on: date) -> list[Refusal]:
    if not job.kind.wets or job.kind.needs_conservator or job.cleaned_on is None:
        return []
    again_on = months_later(job.cleaned_on, ground.clean_again_months)
    if on >= again_on:
        return []
    sentence = f"Cleaned not long ago; each cleaning can harm, so not before {again_on:%d %B %Y}."
    return [Refusal("cleaned-lately", sentence.replace("before 0", "before "))]


def _month_day(pair: tuple[int, int]) -> str:
    leap = date(2000, *pair)
    return f"{leap.day} {leap:%B}"
