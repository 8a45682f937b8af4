"""The rows that a new database holds are the limits of the rules, word for word."""

from __future__ import annotations

import pytest

from workdays.models import WeatherLimit
from workdays.rules.weather import Applies, Comparison, LimitFacts, Measure, Verdict
from workdays.rules.weather_limits import DEFAULT_LIMITS


def facts_of(row: WeatherLimit) -> LimitFacts:
    return LimitFacts(
        row.key,
        Applies(row.applies_to),
        Measure(row.measure),
        Comparison(row.comparison),
        row.value,
        row.unit,
        Verdict(row.verdict),
        row.sentence,
        row.source,
        row.hours_before,
        row.hours_after,
    )


@pytest.mark.django_db
def test_a_new_database_holds_every_default_limit_as_it_was_published() -> None:
    rows = WeatherLimit.objects.filter(cemetery=None)
    assert tuple(facts_of(row) for row in rows) == DEFAULT_LIMITS
