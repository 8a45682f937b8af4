"""A day of the year as people type it, and what is none."""

import pytest
from django.core.exceptions import ValidationError

from workdays.forms.seasons import DayOfYearField

FIELD = DayOfYearField("Day")


@pytest.mark.parametrize(
    ("typed", "stored"),
    [
        ("1 May", 501),
        ("May 1", 501),
        ("  30   september ", 930),
        ("30 Sep", 930),
        ("1. Sept.", 901),
        ("29 February", 229),
        ("31 dec", 1231),
        ("", None),
        ("   ", None),
    ],
)
def test_a_day_and_a_month_are_read_in_either_order(typed: str, stored: int | None) -> None:
    assert FIELD.clean(typed) == stored


@pytest.mark.parametrize(
    "typed",
    ["30 February", "31 April", "0 May", "May", "1", "1 Mayonnaise", "5/1", "501", "1 1 May"],
)
def test_what_is_no_day_of_any_year_is_refused(typed: str) -> None:
    with pytest.raises(ValidationError, match="like 1 May"):
        FIELD.clean(typed)


def test_a_stored_end_is_shown_as_people_write_it() -> None:
    assert FIELD.prepare_value(501) == "1 May"
    assert FIELD.prepare_value("30 Feb") == "30 Feb"
    assert FIELD.clean(FIELD.prepare_value(229)) == 229
