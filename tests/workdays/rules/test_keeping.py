"""Until when what was signed is kept, at the edges of dates."""

from datetime import UTC, date, datetime

import pytest

from workdays.rules.keeping import (
    Signed,
    audited_before,
    claims_end,
    everywhere_past,
    years_later,
)

DAY = date(2026, 5, 9)


def of_minor(born_on: date | None, adult_age: int = 18) -> Signed:
    return Signed(DAY, minor=True, born_on=born_on, adult_age=adult_age)


def test_an_adults_signature_is_kept_for_the_years_after_the_last_day() -> None:
    adult = Signed(DAY, minor=False, born_on=None, adult_age=18)
    assert claims_end(adult, years=3) == date(2029, 5, 9)


@pytest.mark.parametrize(
    ("born_on", "adult_age", "end"),
    [
        (date(2014, 7, 1), 18, date(2035, 7, 1)),  # twelve now: of age in 2032
        (date(2014, 7, 1), 21, date(2038, 7, 1)),
        (date(2008, 5, 9), 18, date(2029, 5, 9)),  # of age on the very day
        (date(2008, 2, 29), 19, date(2030, 3, 1)),
        (None, 18, date(2047, 5, 9)),
    ],
)
def test_for_a_minor_the_years_count_from_majority(
    born_on: date | None, adult_age: int, end: date
) -> None:
    assert claims_end(of_minor(born_on, adult_age), years=3) == end


def test_who_came_of_age_since_counts_from_the_last_day() -> None:
    assert claims_end(of_minor(date(2001, 1, 1)), years=3) == date(2029, 5, 9)


def test_a_leap_day_comes_on_the_first_of_march_and_time_has_an_end() -> None:
    assert years_later(date(2024, 2, 29), 3) == date(2027, 3, 1)
    assert years_later(date(2024, 2, 29), 4) == date(2028, 2, 29)
    assert years_later(date(9990, 1, 1), 21) == date.max


def test_a_date_has_passed_only_when_it_has_everywhere() -> None:
    assert everywhere_past(datetime(2032, 5, 10, 11, 59, tzinfo=UTC)) == date(2032, 5, 9)
    assert everywhere_past(datetime(2032, 5, 10, 12, 0, tzinfo=UTC)) == date(2032, 5, 10)
    assert audited_before(datetime(2030, 5, 10, 12, 0, tzinfo=UTC)) == date(2026, 5, 10)
