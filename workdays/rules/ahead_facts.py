"""The facts of a look ahead: what is to be done, who usually comes, when days would be.

People, kinds of work and jobs are those of a plan (`workdays.rules.facts`); what is added is what
a single day need not know: how often somebody comes, what a job waits for, days that are lost.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from workdays.rules.facts import JobFacts, KindFacts, PersonFacts, Ratios
from workdays.rules.readiness import Season

MOST_DAYS = 60
SLOT_MINUTES = 15


@dataclass(frozen=True, slots=True)
class Usual:
    """Somebody who usually comes, and on how many of the days on which they could have come.

    The day on which somebody came first does not count: without it nobody would be known.
    `always`: taken to come each time.
    """

    person: PersonFacts
    came: int = 0
    days: int = 0
    always: bool = False


@dataclass(frozen=True, slots=True)
class Undone:
    """A job of the backlog; `job.after` holds jobs among the facts, its windows are not read.

    `wait_hours` pass after the last of them, with `after_winter` a whole winter too.
    """

    job: JobFacts
    wait_hours: int = 0
    after_winter: bool = False
    not_before: date | None = None
    season: Season | None = None


@dataclass(frozen=True, slots=True)
class Lost:
    """How many of the days of one month of the year were called off."""

    called_off: int = 0
    days: int = 0


Period = tuple[date, date]


@dataclass(frozen=True)
class AheadFacts:
    """Everything that decides how many days the work takes.

    `dates`: the days that would be, in order. `blocks`: quarter hours of each stretch of work of
    a day. `newcomers`: how many came for the first time on each past day. `leave`: when each
    kind of work is allowed, first and last day; a kind that is not named always is. `lost` by
    month; `pace`: how long finished jobs took, as a share of their estimate. `stones`: the work
    is cleared once so many stones are finished; None: once all of it is done.
    """

    dates: tuple[date, ...]
    blocks: tuple[int, ...]
    undone: tuple[Undone, ...] = ()
    people: tuple[Usual, ...] = ()
    kinds: tuple[KindFacts, ...] = ()
    ratios: Ratios = field(default_factory=Ratios)
    kit: Mapping[str, int] = field(default_factory=dict)
    newcomers: tuple[int, ...] = ()
    leave: Mapping[str, tuple[Period, ...]] = field(default_factory=dict)
    lost: Mapping[int, Lost] = field(default_factory=dict)
    pace: tuple[float, ...] = ()
    stones: int | None = None
