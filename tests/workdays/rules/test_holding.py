"""From when until when a signature holds, and for whom: the edges of years, hours and ages."""

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from workdays.rules.holding import AskedDay, Signed, holds
from workdays.rules.of_age import adult_age

NEW_YEAR = date(2027, 1, 1)
LAST_DAY = date(2026, 12, 31)
MAY = date(2026, 5, 9)


def asked(on: date, *, version: int = 2, state: str = "MI") -> AskedDay:
    """Return a day that ends at three in the afternoon, eastern time."""
    ends_at = datetime(on.year, on.month, on.day, 20, tzinfo=UTC)
    return AskedDay(on, ends_at, version, adult_age(state))


def signed(validity: str, on: date, until: date | None = None, **more: object) -> Signed:
    row = Signed("self", validity, 2, on, until)
    return replace(row, **more)  # type: ignore[arg-type]  # names of its own fields


@pytest.mark.parametrize(
    ("row", "day", "expected"),
    [
        # a season ends with the year of the day for which it was signed
        (signed("season", LAST_DAY, LAST_DAY), asked(LAST_DAY), True),
        (signed("season", LAST_DAY, LAST_DAY), asked(NEW_YEAR), False),
        (signed("season", LAST_DAY, date(2027, 12, 31)), asked(NEW_YEAR), True),
        (signed("season", MAY, LAST_DAY, version=1), asked(MAY), True),
        # a day is that day, not the ones before or after
        (signed("day", MAY, MAY), asked(MAY), True),
        (signed("day", MAY - timedelta(days=9), MAY), asked(MAY - timedelta(days=1)), False),
        (signed("day", MAY, MAY), asked(MAY + timedelta(days=1)), False),
        (signed("day", MAY, MAY, version=1), asked(MAY), True),
        # until a new version: the newest one counts, whenever it was published
        (signed("version", MAY), asked(MAY), True),
        (signed("version", MAY, version=1), asked(MAY), False),
        (signed("version", MAY, version=3), asked(MAY, version=2), False),
        # nothing reaches back
        (signed("version", MAY + timedelta(days=1)), asked(MAY), False),
        (signed("season", MAY + timedelta(days=1), LAST_DAY), asked(MAY), False),
    ],
)
def test_a_signature_holds_as_long_as_its_version_says(
    row: Signed, day: AskedDay, expected: bool
) -> None:
    assert holds(row, day) is expected


def born(age: int, on: date = MAY) -> date:
    return on.replace(year=on.year - age)


EVE = timedelta(days=1)


@pytest.mark.parametrize(
    ("role", "born_on", "state", "expected"),
    [
        # signed by a guardian at 17: it ends on the birthday
        ("guardian", born(18) + EVE, "MI", True),
        ("guardian", born(18), "MI", False),
        ("self", born(18), "MI", True),
        ("self", born(18) + EVE, "MI", False),
        # Alabama and Nebraska 19, Mississippi 21; none given: the strictest known
        ("guardian", born(19) + EVE, "AL", True),
        ("guardian", born(19), "AL", False),
        ("self", born(19) + EVE, "AL", False),
        ("self", born(19), "NE", True),
        ("self", born(19) + EVE, "NE", False),
        ("self", born(21) + EVE, "MS", False),
        ("self", born(21), "MS", True),
        ("guardian", born(21) + EVE, "", True),
        ("self", born(18), "", False),
        # an adult whose birth date nobody asked, and a child's yes to the rules
        ("self", None, "AL", True),
        ("guardian", None, "AL", True),
        ("minor", born(10), "MI", False),
        ("minor", None, "MI", False),
    ],
)
def test_whoever_is_of_age_there_signs_and_nobody_else(
    role: str, born_on: date | None, state: str, expected: bool
) -> None:
    row = signed("version", MAY - timedelta(days=60), role=role, born_on=born_on)
    assert holds(row, asked(MAY, state=state)) is expected


def test_born_on_the_29th_of_february_somebody_is_of_age_on_the_first_of_march() -> None:
    row = signed("version", date(2026, 1, 1), role="guardian", born_on=date(2008, 2, 29))
    assert holds(row, asked(date(2026, 2, 28)))
    assert not holds(row, asked(date(2026, 3, 1)))


@pytest.mark.parametrize(("hours", "expected"), [(-1, False), (0, True), (48, True)])
def test_what_is_taken_back_after_a_day_leaves_the_day_as_it_was(
    hours: int, expected: bool
) -> None:
    day = asked(MAY)
    row = signed("version", MAY, withdrawn_at=day.ends_at + timedelta(hours=hours))
    assert holds(row, day) is expected
