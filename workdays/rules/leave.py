"""What the owner and the families of a stone allow: whether it covers a kind of work on a date.

No work without leave, quiet hours and no probing are common practice, no source: local law, the
owner's rules and licensed professionals decide.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from enum import StrEnum

from workdays.rules.kinds import KindFacts
from workdays.rules.refusals import Refusal
from workdays.rules.wall_clock import day_words, hour

Quiet = tuple[time, time]


@dataclass(frozen=True, slots=True)
class PermissionFacts:
    """The owner's written leave: which kinds (by key), from when to when, both days included.

    ``quiet``: hours of each day in which nobody works, on the clock of the place. ``words``: the
    terms as the owner wrote them.
    """

    kinds: frozenset[str]
    starts_on: date
    ends_on: date
    no_probing: bool = False
    training_demanded: bool = False
    quiet: Quiet | None = None
    words: str = ""

    def holds(self, on: date, kinds: Collection[str]) -> bool:
        """Whether it is in force on a date for one of some kinds of work."""
        return self.starts_on <= on <= self.ends_on and not self.kinds.isdisjoint(kinds)


class FamilyState(StrEnum):
    """How far a family's leave is."""

    WANTED = "wanted"
    ASKED = "asked"
    GIVEN = "given"
    REFUSED = "refused"
    NO_ANSWER = "no_answer"


@dataclass(frozen=True, slots=True)
class FamilyFacts:
    """A family whose leave is wanted for kinds of work (by key) at a stone; never its name."""

    kinds: frozenset[str]
    state: FamilyState
    asked_on: date | None = None
    answered_on: date | None = None


def without_permission(
    kind: KindFacts, permissions: Iterable[PermissionFacts], on: date
) -> list[Refusal]:
    """Return why the owner's leave does not cover a kind of work on a date: what is missing."""
    for_kind = [leave for leave in permissions if kind.key in leave.kinds]
    if any(leave.starts_on <= on <= leave.ends_on for leave in for_kind):
        return []
    if not for_kind:
        return [Refusal("permission", f"The owner has given no leave for {kind.activity} here.")]
    ended = max((leave.ends_on for leave in for_kind if leave.ends_on < on), default=None)
    begins = min((leave.starts_on for leave in for_kind if leave.starts_on > on), default=None)
    parts = [f"ends on {_dated(ended)}"] if ended else []
    if begins:
        parts.append(f"begins {'again ' if ended else ''}on {_dated(begins)}")
    missing = f"The owner's leave for {kind.activity} {' and '.join(parts)}"
    sentence = f"{missing}; it does not cover {day_words(on)} {on.year}."
    return [Refusal("permission", sentence)]


def in_quiet_hours(
    kind: KindFacts,
    permissions: Iterable[PermissionFacts],
    *,
    starts_at: datetime,
    ends_at: datetime,
) -> list[Refusal]:
    """Return whether a day runs into the owner's quiet hours for a kind; the stricter counts.

    Both moments are on the clock of the place.
    """
    on = starts_at.date()
    quiet = {leave.quiet for leave in permissions if leave.quiet and leave.holds(on, {kind.key})}
    return [
        Refusal(
            "quiet-hours",
            f"The owner's quiet hours for {kind.activity} are {span(hours)}; the day runs from "
            f"{hour(starts_at)} to {hour(ends_at)}. Choose other hours or ask the owner.",
        )
        for hours in sorted(quiet)
        if runs_into(hours, starts_at, ends_at)
    ]


def runs_into(quiet: Quiet, starts_at: datetime, ends_at: datetime) -> bool:
    """Return whether something overlaps quiet hours on one of its dates; touching is not."""
    begins, ends = (moment.replace(tzinfo=None) for moment in (starts_at, ends_at))
    dates = [
        begins.date() + timedelta(days=n) for n in range((ends.date() - begins.date()).days + 1)
    ]
    return any(
        begins < datetime.combine(on, quiet[1]) and datetime.combine(on, quiet[0]) < ends
        for on in dates
    )


def without_family(kind: KindFacts, families: Iterable[FamilyFacts], on: date) -> list[Refusal]:
    """Return for which families a kind of work waits, or which of them refused it."""
    return [
        Refusal("family", _family_sentence(kind, family, on))
        for family in families
        if kind.key in family.kinds and family.state is not FamilyState.GIVEN
    ]


def _family_sentence(kind: KindFacts, family: FamilyFacts, on: date) -> str:
    waits = f"{kind.activity} waits for its leave."
    asked = f" on {_short(family.asked_on, on)}" if family.asked_on else ""
    if family.state is FamilyState.WANTED:
        return f"The family has not been asked yet; {waits}"
    if family.state is FamilyState.ASKED:
        return f"The family was asked{asked} and has not answered; {waits}"
    if family.state is FamilyState.NO_ANSWER:
        return f"The family was asked{asked} and gave no answer; {waits}"
    answered = f" on {_short(family.answered_on, on)}" if family.answered_on else ""
    return f"The family refused{answered}: no {kind.activity} at this stone."


def span(quiet: Quiet) -> str:
    """Return "12:00 to 13:30"."""
    return f"{hour(quiet[0])} to {hour(quiet[1])}"


def _dated(on: date) -> str:
    return f"{on.day} {on:%B %Y}"


def _short(on: date, today: date) -> str:
    return f"{on.day} {on:%B}" if on.year == today.year else _dated(on)
