"""Who is here on the morning of a day: what the roll says beside what was expected.

Pure: moments come in, nobody asks a clock. What was said of somebody who is missing (that they do
not come, or that they still come at an hour) counts on that day only, and until they are here.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo
from enum import StrEnum

from workdays.rules.counting import heads
from workdays.rules.refusals import Refusal
from workdays.rules.roll import EARLY, refusals_shut
from workdays.rules.wall_clock import hour

SLOT = timedelta(minutes=15)
LEAST_MOVED = 3
SHARE_MOVED = 6  # one in so many people


class Where(StrEnum):
    """Where somebody with a place is."""

    HERE = "here"
    LEFT = "left"
    LATER = "later"
    MISSING = "missing"
    NOT_COMING = "not coming"


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody with a place: when they said they come and go, what the roll and staff say.

    ``expected_at``: somebody said that they still come then; ``not_coming_at``: when it was noted
    that they do not come. ``planned``: has a part in the published plan.
    """

    person: int
    name: str
    comes_at: datetime
    leaves_at: datetime
    arrived_at: datetime | None = None
    left_at: datetime | None = None
    expected_at: datetime | None = None
    not_coming_at: datetime | None = None
    planned: bool = False
    leads: str = ""
    supervises: bool = False
    adult: bool = True
    guardian: int | None = None


@dataclass(frozen=True, slots=True)
class Frame:
    """The day: when it starts and ends, and when its roll opens."""

    starts_at: datetime
    ends_at: datetime

    @property
    def opens_at(self) -> datetime:
        """When the roll opens; what was said earlier was said of another date."""
        return self.starts_at - EARLY


def where(comer: Comer, frame: Frame, at: datetime) -> Where:
    """Return where somebody is at a moment, by what is known."""
    if comer.arrived_at is not None:
        return Where.HERE if comer.left_at is None else Where.LEFT
    if comer.not_coming_at is not None and comer.not_coming_at >= frame.opens_at:
        return Where.NOT_COMING
    return Where.LATER if comes_at(comer, frame) > at else Where.MISSING


def comes_at(comer: Comer, frame: Frame) -> datetime:
    """Return when somebody comes: as was said of them today, else as they said."""
    said = comer.expected_at
    today = said is not None and frame.opens_at <= said <= frame.ends_at
    return said if said is not None and today else comer.comes_at


def presence(comer: Comer, frame: Frame, since: datetime) -> tuple[int, int]:
    """Return from and until which quarter hour of the day somebody can be planned from ``since``.

    Who is here, or comes just then, counts as here from the start: what began before goes on with
    them. Nobody counts as coming whose hour has passed and who is not here.
    """
    leave = _down(frame, min(comer.leaves_at, frame.ends_at))
    match where(comer, frame, since):
        case Where.HERE:
            return _joined(comer, frame, since), leave
        case Where.LEFT:
            return _joined(comer, frame, since), min(leave, _down(frame, comer.left_at or since))
        case Where.LATER:
            return _up(frame, comes_at(comer, frame)), leave
        case Where.MISSING if comes_at(comer, frame) == since:
            return 0, leave
        case _:
            return 0, 0


def _joined(comer: Comer, frame: Frame, since: datetime) -> int:
    arrived = comer.arrived_at or since
    return 0 if arrived <= since else max(0, _down(frame, arrived))


def _down(frame: Frame, moment: datetime) -> int:
    return (moment - frame.starts_at) // SLOT


def _up(frame: Frame, moment: datetime) -> int:
    return max(0, -((frame.starts_at - moment) // SLOT))


@dataclass(frozen=True, slots=True)
class Morning:
    """Who is where, each list with those first without whom most work stops."""

    missing: tuple[Comer, ...] = ()
    not_coming: tuple[Comer, ...] = ()
    later: tuple[Comer, ...] = ()
    left: tuple[Comer, ...] = ()
    unplanned: tuple[Comer, ...] = ()
    alone: tuple[tuple[Comer, str], ...] = ()
    here: int = 0
    adults_here: int = 0

    @property
    def not_here(self) -> tuple[Comer, ...]:
        """Those of whom somebody must say whether they still come, or has said so."""
        return tuple(sorted((*self.missing, *self.not_coming), key=_weight))


def morning(comers: list[Comer], frame: Frame, at: datetime) -> Morning:
    """Return who is where at a moment."""
    found: dict[Where, list[Comer]] = {one: [] for one in Where}
    for comer in sorted(comers, key=_weight):
        found[where(comer, frame, at)].append(comer)
    here = found[Where.HERE]
    return Morning(
        missing=tuple(found[Where.MISSING]),
        not_coming=tuple(found[Where.NOT_COMING]),
        later=tuple(found[Where.LATER]),
        left=tuple(found[Where.LEFT]),
        unplanned=tuple(comer for comer in here if not comer.planned),
        alone=tuple(_alone(here, comers)),
        here=len(here),
        adults_here=sum(comer.adult for comer in here),
    )


def _weight(comer: Comer) -> tuple[bool, bool, bool, str, int]:
    """Sort who supervises, leads or has a place in a crew before the others."""
    return not comer.supervises, not comer.leads, not comer.planned, comer.name, comer.person


def _alone(here: list[Comer], comers: list[Comer]) -> list[tuple[Comer, str]]:
    """Return minors who are here without their guardian, with the guardian's name."""
    there = {comer.person for comer in here}
    names = {comer.person: comer.name for comer in comers}
    return [
        (comer, names.get(comer.guardian or 0, ""))
        for comer in here
        if not comer.adult and comer.guardian not in there
    ]


def part_words(comer: Comer) -> str:
    """Return what is missing with somebody: "supervises", "leads Crew 3", "new to the plan"."""
    said = ["supervises"] if comer.supervises else []
    said += [f"leads {comer.leads}"] if comer.leads else []
    return " and ".join(said)


def alone_sentence(minor: Comer, guardian: str) -> str:
    """Return what follows for a minor whose guardian is not here."""
    who = f"{guardian}, the guardian," if guardian else "the guardian"
    return (
        f"{minor.name} is a minor and {who} is not here: {minor.name} is in no crew until then. "
        "Telephone the guardian now, and let two adults of the staff stay with them."
    )


def usual_most_moved(people: int) -> int:
    """Return how many people may move where nobody said: a sixth of those in the plan.

    Common practice, no source: a plan that everybody has read is changed as little as it can be.
    """
    return max(LEAST_MOVED, -(-people // SHARE_MOVED))


def next_quarter(now: datetime, frame: Frame) -> datetime:
    """Return the quarter hour of the day that begins next; at the earliest the day's start."""
    return frame.starts_at + SLOT * max(0, (now - frame.starts_at) // SLOT + 1)


def choices(now: datetime, frame: Frame) -> list[datetime]:
    """Return the quarter hours from which the rest of a day can be planned."""
    first = next_quarter(now, frame)
    steps = (frame.ends_at - first) // SLOT
    return [first + SLOT * n for n in range(steps)]


def refusals_to_look(state: str, frame: Frame, now: datetime, *, published: bool) -> list[Refusal]:
    """Return why the rest of a day cannot be planned again now."""
    found = refusals_shut(state)
    if now < frame.opens_at:
        found.append(Refusal("early", "This opens with the roll, three hours before the day."))
    if not choices(now, frame):
        found.append(Refusal("over", "Less than a quarter hour of the day is left."))
    if not published:
        said = "No plan of this day is published yet: plan the crews, then publish the plan."
        found.append(Refusal("published", said))
    return found


def refusals_of_wish(since: datetime, frame: Frame, now: datetime, zone: tzinfo) -> list[Refusal]:
    """Return what is wrong with the moment from which to plan: it lies ahead, on a quarter hour."""
    first = next_quarter(now, frame)
    if since < first:
        said = f"That hour has begun. Choose {hour(first.astimezone(zone))} or later."
        return [Refusal("since", said)]
    if since >= frame.ends_at or (since - frame.starts_at) % SLOT:
        return [Refusal("since", "Choose a quarter hour of the day.")]
    return []


def refusals_of_people(found: Morning) -> list[Refusal]:
    """Return why nobody can be planned: nobody is here or comes, or minors only."""
    if not found.here and not found.later:
        said = "Nobody is here yet. Note on the roll who has come, or say who still comes."
        return [Refusal("nobody", said)]
    adults = found.adults_here + sum(comer.adult for comer in found.later)
    if adults < 2:
        said = (
            f"{heads(adults, 'adult').capitalize()} cannot work on: a crew needs two adults "
            "at least, and nobody works alone. Send people home safely, or call the day off."
        )
        return [Refusal("adults", said)]
    return []
