"""What a forecast means for a day: the newest counts, a cemetery's own limits win."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from fractions import Fraction

import pytest
from pytest_django import DjangoAssertNumQueries

from tests import factories
from workdays.models import CemeterySetting, Forecast, WeatherLimit, Workday
from workdays.queries.weather import limits_of, outlook, window_of, workable_windows
from workdays.rules.facts import Interval
from workdays.rules.weather import Verdict

pytestmark = pytest.mark.django_db
EXACTLY_40_F = Fraction(40, 9)


def cleaning(day: Workday) -> list[Verdict]:
    found = outlook(day)
    assert found
    return [row.verdict for row in found.verdicts["cleaning"]]


def test_without_a_forecast_there_is_no_outlook_and_no_window() -> None:
    day = factories.make_day()
    assert outlook(day) is None
    assert workable_windows(day) is None


def test_the_newest_forecast_counts_and_the_old_one_stays() -> None:
    day = factories.make_day()
    factories.make_forecast(day, temperature_c=-5)
    factories.make_forecast(day)
    assert set(cleaning(day)) == {Verdict.ON}
    assert Forecast.objects.filter(day=day).count() == 2


def test_a_stored_40_f_is_off_and_41_on_watch() -> None:
    day = factories.make_day()
    hours = {9: {"temperature_c": EXACTLY_40_F}, 10: {"temperature_c": Fraction(5)}}
    factories.make_forecast(day, clock=hours)
    assert cleaning(day)[:3] == [Verdict.OFF, Verdict.WATCH, Verdict.ON]


def test_an_hour_off_leaves_a_hole_in_the_hours_of_a_kind() -> None:
    day = factories.make_day()
    factories.make_forecast(day, clock={11: {"temperature_c": 2}})
    windows = workable_windows(day)
    assert windows
    assert windows["cleaning"] == (Interval(0, 8), Interval(12, 24))
    assert windows["raking"] == (Interval(0, 24),)


def test_a_cemetery_decides_how_cold_is_too_cold_and_says_where_from() -> None:
    day = factories.make_day()
    factories.make_forecast(day, temperature_c=12)  # 53.6 F
    assert set(cleaning(day)) == {Verdict.ON}
    CemeterySetting.objects.create(
        cemetery=day.cemetery,
        key="coldest_wet_f",
        value=55,
        source="the how-to page of North Ridge",
    )
    assert set(cleaning(day)) == {Verdict.OFF}
    coldest = next(limit for limit in limits_of(day.cemetery) if limit.key == "coldest-air")
    assert (coldest.value, coldest.source) == (Decimal(55), "the how-to page of North Ridge")


def test_a_row_of_the_cemetery_takes_the_place_of_the_general_one() -> None:
    day, elsewhere = factories.make_day(), factories.make_day()
    general = WeatherLimit.objects.get(cemetery=None, key="gusts-lifting")
    general.pk, general.cemetery, general.value = None, day.cemetery, Decimal(5)
    general.save()
    own = {limit.key: limit.value for limit in limits_of(day.cemetery)}
    others = {limit.key: limit.value for limit in limits_of(elsewhere.cemetery)}
    assert (own["gusts-lifting"], others["gusts-lifting"]) == (5, 20)
    assert own.keys() == others.keys()


def test_a_forecast_of_the_date_before_the_move_does_not_count() -> None:
    day = factories.make_day()
    factories.make_forecast(day)
    day.starts_at += timedelta(days=1)
    day.ends_at += timedelta(days=1)
    assert outlook(day) is None


def test_a_forecast_still_counts_when_the_day_is_shortened() -> None:
    day = factories.make_day()
    factories.make_forecast(day)
    day.starts_at += timedelta(hours=2)
    assert len(cleaning(day)) == 4


def test_a_forecast_without_hours_does_not_count() -> None:
    day = factories.make_day()
    Forecast.objects.create(day=day, source=Forecast.Source.FILE, hours=[])
    assert outlook(day) is None


@pytest.mark.parametrize(
    ("starts_at", "hours"),
    [
        (datetime(2026, 3, 8, 5, 0, tzinfo=UTC), 6),  # midnight to 7:00, clocks go forward
        (datetime(2026, 11, 1, 4, 0, tzinfo=UTC), 6),  # midnight to 5:00, clocks go back
    ],
)
def test_on_both_clock_changes_every_hour_has_its_verdict(starts_at: datetime, hours: int) -> None:
    day = factories.make_day(starts_at=starts_at)
    factories.make_forecast(day)
    found = outlook(day)
    assert found
    assert [row.at for row in found.verdicts["raking"]] == [
        (starts_at + timedelta(hours=n)).astimezone(day.cemetery.zone) for n in range(hours)
    ]


def test_the_window_is_read_on_the_clock_of_the_cemetery() -> None:
    window = window_of(factories.make_day())
    assert (window.starts_at.hour, window.ends_at.hour) == (9, 15)


def test_an_outlook_takes_as_many_statements_for_many_forecasts(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    day = factories.make_day()
    for _ in range(3):
        factories.make_forecast(day)
    with django_assert_num_queries(5):
        outlook(Workday.objects.select_related("cemetery").get(pk=day.pk))
