"""What needs a person in the next seven days: one sentence, one page where it is done.

What is not listed takes care of itself. Dates and hours are those of the cemetery's clock.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import groupby

from workdays.rules.counting import counted, joined, some
from workdays.rules.parties import adults_lacking, adults_words
from workdays.rules.wall_clock import day_words, hour
from workdays.rules.week_facts import DayNeeds, HoursNeed, LeaveNeed, OtherNeeds

DAYS = 7
LEAVE_DAYS = 60


@dataclass(frozen=True)
class Line:
    """One thing to do. ``on`` None: any day this week; ``day`` 0: it belongs to no workday.

    ``page`` and ``args`` name the address where it is done, ``link`` is the word on it.
    ``mark`` is "watch", "off", "on" or "checked" with ``mark_words``, or empty.
    """

    on: date | None
    sentence: str
    page: str
    args: tuple[int | str, ...]
    link: str
    day: int = 0
    aside: str = ""
    mark: str = ""
    mark_words: str = ""


@dataclass(frozen=True)
class Heading:
    """A workday of the week as the page names it."""

    day: int
    on: date
    words: str


@dataclass(frozen=True)
class Part:
    """What stands under one date for one workday, or for none."""

    heading: Heading | None
    lines: tuple[Line, ...]


@dataclass(frozen=True)
class Entry:
    """One date of the page (None: any day this week) and what stands under it."""

    on: date | None
    is_today: bool
    parts: tuple[Part, ...]


def relative(at: datetime, today: date) -> str:
    """Return "tonight", "18:00" today, "tomorrow, 9:00" or "Saturday, 9:00"."""
    if at.date() == today:
        return "tonight" if at.hour >= 18 else f"today, {hour(at)}"
    if at.date() == today + timedelta(days=1):
        return f"tomorrow, {hour(at)}"
    return f"{at:%A}, {hour(at)}"


def heading_of(day: DayNeeds) -> Heading:
    """Return how a day is named: "Alder Hill, 9:00 to 15:00: 14 coming, 6 places left"."""
    answer = {"draft": "not open yet", "called_off": "called off"}.get(day.state, day.places.words)
    words = f"{day.place}, {hour(day.starts_at)} to {hour(day.ends_at)}: {answer}"
    if minors := adults_words(adults=day.places.coming - day.minors, minors=day.minors):
        words = f"{words}; {minors}"
    return Heading(day.day, day.starts_at.date(), words)


def day_lines(day: DayNeeds, *, now: datetime) -> Iterator[Line]:
    """Yield what one day needs, in the order in which it is done."""
    today = now.astimezone(day.starts_at.tzinfo).date()
    if day.state == "open" and day.ends_at <= now:
        yield _close_line(day, today)
        return
    if day.organises:
        yield from _called_lines(day, today, now)
        yield from _sign_up_lines(day, today)
        yield from _plan_lines(day)
    if day.state == "open" and day.starts_at.date() == today:
        sentence = f"Take the roll from {hour(day.starts_at)}."
        yield Line(today, sentence, "roll", (day.day,), "Take the roll", day.day)


def _close_line(day: DayNeeds, today: date) -> Line:
    sentence = f"{day_words(day.starts_at.date())} at {day.place} is over and not closed."
    aside = "Hours are proposed when it is."
    return Line(today, sentence, "roll", (day.day,), "Close the day", aside=aside)


def _called_lines(day: DayNeeds, today: date, now: datetime) -> Iterator[Line]:
    if day.unseen:
        sentence = f"{day.unseen} of {day.told} have not said that they saw the notice."
        on = day.starts_at.date()
        yield Line(on, sentence, "notices", (day.day,), "See whom to ring", day.day)
    if day.state == "open" and not day.call_made:
        yield _call_line(day, today, now)


def _call_line(day: DayNeeds, today: date, now: datetime) -> Line:
    late = day.call_by_at <= now
    weekday = f"{day.starts_at:%A}"
    if late:
        sentence = f"The weather call for {weekday} was due {_since(day.call_by_at, today)}."
    else:
        sentence = f"Make the weather call for {weekday} by {hour(day.call_by_at)}."
    return Line(
        on=today if late else day.call_by_at.date(),
        sentence=sentence,
        page="call",
        args=(day.day,),
        link="Make the call",
        aside=day.verdict_words if day.verdict else "No forecast yet.",
        mark=day.verdict,
        mark_words=day.verdict,
    )


def _since(at: datetime, today: date) -> str:
    return f"at {hour(at)}" if at.date() == today else f"{at:%A}, {hour(at)}"


def _sign_up_lines(day: DayNeeds, today: date) -> Iterator[Line]:
    on, args = day.starts_at.date(), (day.day,)
    if day.state == "draft":
        yield Line(on, "It is not open for sign-up yet.", "day_desk", args, "Open it", day.day)
    if day.state != "open":
        return
    if day.places.unconfirmed:
        sentence = counted(day.places.unconfirmed, "person has", "people have")
        until = f" until {relative(day.held_until, today)}" if day.held_until else ""
        yield Line(
            on,
            f"{sentence} not answered the mailed link.",
            "day_desk",
            args,
            "See who",
            day.day,
            aside=f"Their places are held{until}.",
        )
    if day.without_waiver:
        sentence = counted(day.without_waiver, "person who comes has", "people who come have")
        yield Line(on, f"{sentence} no valid waiver.", "day_desk", args, "See who", day.day)
    if day.open_questions:
        sentence = counted(day.open_questions, "person has", "people have")
        yield Line(
            on, f"{sentence} not said yes to the new date.", "day_desk", args, "See who", day.day
        )
    if lacking := adults_lacking(adults=day.places.coming - day.minors, minors=day.minors):
        yield Line(on, lacking, "day_desk", args, "See who comes", day.day)
    if day.places.coming < day.fewest:
        sentence = f"{day.fewest} are the fewest for this day."
        yield Line(on, sentence, "day_desk", args, "See who comes", day.day)


def _plan_lines(day: DayNeeds) -> Iterator[Line]:
    on, args = day.starts_at.date(), (day.day,)
    if day.state != "open":
        return
    if not day.jobs:
        yield Line(on, "No job is chosen for this day.", "day_jobs", args, "Choose jobs", day.day)
    elif day.plan is None:
        if day.places.coming:
            yield Line(on, "There is no crew plan yet.", "plan", args, "Make the plan", day.day)
    elif day.plan.waits:
        size = f"{some(day.plan.crews, 'crew')}, {some(day.plan.jobs, 'job')}"
        what = "A newer crew plan is ready" if day.plan.is_published else "The crew plan is ready"
        yield Line(
            on,
            f"{what}: {size}.",
            "plan",
            args,
            "Read and publish",
            day.day,
            mark="checked",
            mark_words="checked",
        )
    elif day.plan.lost:
        sentence = counted(day.plan.lost, "job has", "jobs have")
        yield Line(
            on,
            f"{sentence} left the published plan: not to be done that day any more.",
            "plan",
            args,
            "Plan again",
            day.day,
            mark="watch",
            mark_words="changed",
        )


def service_lines(other: OtherNeeds, *, today: date) -> Iterator[Line]:
    """Yield what keeps the service itself from working: it comes first."""
    if other.worker_late:
        sentence = "Mail and plans stand still: the worker has given no sign for a while."
        yield Line(today, sentence, "mail", (), "See the mail", mark="off", mark_words="late")
    if other.failed_mails:
        sentence = counted(other.failed_mails, "mail was", "mails were")
        yield Line(today, f"{sentence} not taken by the receiver.", "mail", (), "See the mail")


def other_lines(other: OtherNeeds, *, today: date) -> Iterator[Line]:
    """Yield what belongs to no day."""
    for need in other.bookings:
        sentence = (
            f"{need.host} asks for a clinic on {need.on.day} {need.on:%B} "
            f"for about {need.people} people."
        )
        yield Line(today, sentence, "booking", (need.booking,), "Answer")
    if other.hours:
        yield _hours_line(other.hours)
    for leave in other.leaves:
        yield _leave_line(leave)


def _hours_line(need: HoursNeed) -> Line:
    hours, minutes = divmod(need.minutes, 60)
    span = f"{hours}:{minutes:02d} hours" if minutes else some(hours, "hour")
    whose = counted(need.people, "trainee", "trainees").lower()
    waits = "waits" if need.minutes == 60 else "wait"
    sentence = f"{span} of {whose} {waits} for {'your' if need.own else 'a'} countersign."
    return Line(None, sentence, "training", (), "Countersign" if need.own else "See the hours")


def _leave_line(need: LeaveNeed) -> Line:
    waits = f"{some(need.jobs, 'job')} {'waits' if need.jobs == 1 else 'wait'} for it"
    sentence = (
        f"Permission for {joined([kind.lower() for kind in need.kinds])} at {need.place} ends on "
        f"{need.ends_on.day} {need.ends_on:%B}; {waits}."
    )
    return Line(None, sentence, "permissions", (need.slug,), "Ask the owner")


def entries(lines: Iterable[Line], headings: Iterable[Heading], *, today: date) -> list[Entry]:
    """Return the dates of the page in order, each workday under its date, any day last."""
    named = {heading.day: heading for heading in headings}
    listed = [*lines]
    keys = {(line.on, line.day) for line in listed}
    keys |= {(heading.on, heading.day) for heading in named.values()}
    parts = [
        (on, Part(named.get(day), tuple(x for x in listed if (x.on, x.day) == (on, day))))
        for on, day in sorted(keys, key=lambda key: (key[0] or date.max, key[1]))
    ]
    return [
        Entry(on, on == today, tuple(part for _, part in group))
        for on, group in groupby(parts, key=lambda pair: pair[0])
    ]


def headline(lines: Iterable[Line], *, today: date) -> str:
    """Return the answer of the page: "Seven things need you this week, two of them today"."""
    listed = list(lines)
    if not listed:
        return "Nothing needs you this week"
    now = sum(line.on == today for line in listed)
    what = f"{counted(len(listed), 'thing needs', 'things need')} you this week"
    if not now:
        return what
    if now == len(listed):
        return what.replace("this week", "today")
    return f"{what}, {counted(now, 'of them', 'of them').lower()} today"
