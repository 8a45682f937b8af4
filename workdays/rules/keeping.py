"""Until when what was signed is kept, and words on hours: from dates and years alone.

Claims for an injury end in US states mostly two to three years after it, in some after one, in
some after six; for a minor the clock mostly stands still until majority (from memory, no source).
What is blanked cannot be brought back, so the longest counts unless a programme says otherwise.
Information, no legal advice: the law of the place and a lawyer decide.
"""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

# 2 CFR 200.334: three years from the final financial report (from memory). That a report follows
# within a year of the work is common practice, no source.
AUDITED_YEARS = 3 + 1
FARTHEST_BEHIND = timedelta(hours=12)


@dataclass(frozen=True, slots=True)
class Signed:
    """A signature as far as its end goes. ``last_on``: when it last covered somebody's work.

    ``born_on`` of a minor None: not known, so that the child may be as young as can be.
    """

    last_on: date
    minor: bool
    born_on: date | None
    adult_age: int


def claims_end(signed: Signed, *, years: int) -> date:
    """Return the last day on which a claim may still need what was signed."""
    starts_on = signed.last_on
    if signed.minor:
        of_age = years_later(signed.born_on or signed.last_on, signed.adult_age)
        starts_on = max(starts_on, of_age)
    return years_later(starts_on, years)


def years_later(on: date, years: int) -> date:
    """Return the same date so many years later; 29 February comes on 1 March where there is none.

    Never before ``on``; the last date there is for what is later than that.
    """
    year = on.year + years
    if year > date.max.year:
        return date.max
    try:
        return on.replace(year=year)
    except ValueError:
        return date(year, 3, 1)


def everywhere_past(now: datetime) -> date:
    """Return the date that has come everywhere: nothing goes while its last day lasts anywhere."""
    return (now.astimezone(UTC) - FARTHEST_BEHIND).date()


def audited_before(now: datetime) -> date:
    """Return before which date the words on hours are needed by no audit any more."""
    return years_later(everywhere_past(now), -AUDITED_YEARS)
