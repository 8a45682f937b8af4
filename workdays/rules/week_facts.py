"""What is known of the next seven days when the first page is made."""

from dataclasses import dataclass, field
from datetime import date, datetime

from workdays.rules.places import Places


@dataclass(frozen=True)
class PlanState:
    """The newest crew plan that was not replaced; ``lost``: jobs that left it once published."""

    crews: int
    jobs: int
    is_published: bool
    waits: bool
    lost: int = 0


@dataclass(frozen=True)
class DayNeeds:
    """What is known of one day when the page is made; moments on the cemetery's clock.

    ``organises``: the reader may change the day. ``verdict`` is the gravest of the forecast for
    the work meant for the day ("on", "watch", "off"), empty without a forecast.
    """

    day: int
    place: str
    starts_at: datetime
    ends_at: datetime
    state: str
    places: Places
    fewest: int
    call_by_at: datetime
    call_made: bool
    organises: bool
    jobs: int = 0
    plan: PlanState | None = None
    minors: int = 0
    without_waiver: int = 0
    open_questions: int = 0
    held_until: datetime | None = None
    unseen: int = 0
    told: int = 0
    verdict: str = ""
    verdict_words: str = ""


@dataclass(frozen=True)
class BookingNeed:
    """A host who waits for an answer."""

    booking: int
    host: str
    on: date
    people: int


@dataclass(frozen=True)
class LeaveNeed:
    """Kinds of work whose permission runs out on one date while jobs wait for it."""

    slug: str
    place: str
    kinds: tuple[str, ...]
    ends_on: date
    jobs: int


@dataclass(frozen=True)
class HoursNeed:
    """Hours that wait for a countersign; ``own``: the reader is the one who is waited for."""

    minutes: int
    people: int
    own: bool


@dataclass(frozen=True)
class OtherNeeds:
    """What is known beside the days; each is empty for those whose business it is not."""

    worker_late: bool = False
    failed_mails: int = 0
    bookings: tuple[BookingNeed, ...] = field(default=())
    leaves: tuple[LeaveNeed, ...] = field(default=())
    hours: HoursNeed | None = None
