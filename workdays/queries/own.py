"""What a person sees behind the own link."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Q

from coordinator.humans import same_human
from coordinator.models import Person
from training.models import HoursEntry
from training.queries import StandingLine, standing_lines, with_last_word
from workdays.models import Notice, Signature, SignUp, Workday
from workdays.queries import naming, sign_ups
from workdays.queries.days import hours_words
from workdays.queries.public import PublicDay, days_to_come
from workdays.queries.unsigned import unsigned_ahead
from workdays.rules.eligibility import LIVE, State, state_now
from workdays.rules.wall_clock import hour

WORDS = {
    State.UNCONFIRMED: "Not confirmed yet",
    State.WAITING: "You are on the waiting list",
    State.OFFERED: "A place is free for you",
    State.COMING: "You're coming",
    State.WITHDRAWN: "You have withdrawn",
    State.LAPSED: "Your place has lapsed",
}


@dataclass(frozen=True)
class OwnDay:
    """One's own sign-up, as it stands now."""

    row: SignUp
    state: State
    heading: str
    hours: str
    until: str
    is_over: bool
    day_is_on: bool
    is_signed: bool = True

    @property
    def may_change(self) -> bool:
        """Return whether anything can still be said about the day."""
        live = self.state in (State.COMING, State.WAITING, State.OFFERED)
        return live and not self.is_over and self.day_is_on

    @property
    def asks(self) -> bool:
        """Return whether an answer is wanted: to an offer, or after the day moved."""
        asked = self.row.question_open and self.state is State.COMING
        return self.may_change and (asked or self.state is State.OFFERED)


@dataclass(frozen=True)
class OwnPage:
    """Everything on the own page."""

    to_come: Sequence[OwnDay]
    coming: int
    past: Sequence[OwnDay]
    notices: Sequence[Notice]
    signatures: Sequence[Signature]
    open_days: Sequence[PublicDay]
    lines: Sequence[StandingLine]
    lines_at: str
    hours: Iterable[HoursEntry]


def about(row: SignUp) -> dict[str, object]:
    """Return what every page about one sign-up names."""
    words = WORDS[State(row.state)]
    return {
        "row": row,
        "heading": f"{words}: {naming.day_name(row.day)}",
        "day_name": naming.day_name(row.day),
        "hours": _hours(row),
        "until": naming.moment_name(row.day, row.held_until) if row.held_until else "",
    }


def own_day(row: SignUp, *, now: datetime, is_signed: bool = True) -> OwnDay:
    """Return a sign-up with the sentence that says how it stands.

    ``is_signed``: whether what was signed holds on that day, where it was asked.
    """
    day = row.day
    state = state_now(sign_ups.held(row), now=now)
    day_is_on = day.state != Workday.State.CALLED_OFF
    words = WORDS[state] if day_is_on else "Called off"
    return OwnDay(
        row=row,
        state=state,
        heading=f"{words}: {naming.day_name(day)}",
        hours=_hours(row),
        until=naming.moment_name(day, row.held_until) if row.held_until else "",
        is_over=now >= day.starts_at,
        day_is_on=day_is_on,
        is_signed=is_signed,
    )


def _hours(row: SignUp) -> str:
    if row.comes_at is None and row.leaves_at is None:
        return hours_words(row.day)
    zone = row.day.cemetery.zone
    comes, leaves = row.comes_at or row.day.starts_at, row.leaves_at or row.day.ends_at
    return f"{hour(comes.astimezone(zone))} to {hour(leaves.astimezone(zone))}"


def own_page(person: Person, *, now: datetime) -> OwnPage:
    """Return what a person sees; a fixed number of statements."""
    rows = SignUp.objects.filter(person__in=same_human(person)).exclude(state=State.UNCONFIRMED)
    rows = rows.select_related("day__cemetery", "day__teaches", "person")
    every = list(rows.order_by("day__starts_at", "pk"))
    missing = unsigned_ahead(every, now=now)
    days = [own_day(row, now=now, is_signed=row.pk not in missing) for row in every]
    lines, lines_at = _standing(person, days, now)
    return OwnPage(
        to_come=[day for day in days if day.row.day.ends_at > now],
        coming=sum(day.may_change and day.state is State.COMING for day in days),
        past=[day for day in reversed(days) if day.row.day.ends_at <= now],
        notices=_unseen(person),
        signatures=_signed(person),
        open_days=_open_days(days, now),
        lines=lines,
        lines_at=lines_at,
        hours=with_last_word(HoursEntry.objects.filter(person__in=same_human(person))),
    )


def _open_days(mine: Sequence[OwnDay], now: datetime) -> list[PublicDay]:
    """Return days that one may still join."""
    taken = {day.row.day_id for day in mine if day.state in LIVE}
    days = days_to_come(now=now)
    return [shown for shown in days if shown.takes_people and shown.day.pk not in taken]


def last_said(person: Person) -> SignUp | None:
    """Return the newest sign-up of a person, to fill in the next form."""
    rows = SignUp.objects.filter(person__in=same_human(person)).select_related(
        "day__cemetery", "person"
    )
    return rows.order_by("-pk").first()


def _unseen(person: Person) -> list[Notice]:
    notices = Notice.objects.filter(person__in=same_human(person), seen_at__isnull=True)
    return list(notices.select_related("day__cemetery", "call"))


def _signed(person: Person) -> list[Signature]:
    rows_of = same_human(person)
    mine = Q(person__in=rows_of) | Q(signed_by__in=rows_of)
    rows = Signature.objects.filter(mine, confirmed_at__isnull=False)
    return list(rows.select_related("waiver", "person"))


def _standing(
    person: Person, days: Sequence[OwnDay], now: datetime
) -> tuple[list[StandingLine], str]:
    """Return the levels at the place of the last day, for a sign-off can be bound to a place."""
    if not days:
        return [], ""
    cemetery = days[-1].row.day.cemetery
    on = now.astimezone(cemetery.zone).date()
    return standing_lines(person, cemetery_number=cemetery.pk, on=on), cemetery.name
