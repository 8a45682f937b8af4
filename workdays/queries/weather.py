"""The weather of a day: the newest forecast, the limits in force, and what the rules say of it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC
from decimal import Decimal

from django.db.models import OuterRef, Q, Subquery

from workdays.forecasts.sources import HOURS_BEFORE, from_rows
from workdays.models import Cemetery, CemeterySetting, Forecast, KindOfWork, WeatherLimit, Workday
from workdays.queries.stone_facts import kind_facts
from workdays.rules.facts import Interval
from workdays.rules.kinds import KindFacts
from workdays.rules.settings import BY_KEY
from workdays.rules.weather import (
    HOUR,
    Applies,
    Comparison,
    HourFacts,
    HourVerdict,
    LimitFacts,
    Measure,
    Verdict,
    Window,
    verdicts,
)
from workdays.rules.weather_call import workable
from workdays.rules.weather_limits import chosen, with_coldest

COLDEST = "coldest_wet_f"


@dataclass(frozen=True)
class Outlook:
    """What a forecast means for a day: verdicts by kind of work and hour."""

    forecast: Forecast
    hours: tuple[HourFacts, ...]
    kinds: tuple[KindFacts, ...]
    verdicts: Mapping[str, tuple[HourVerdict, ...]]
    window: Window
    limits: tuple[LimitFacts, ...]


def window_of(day: Workday) -> Window:
    """Return from when to when a day lasts, on the clock of its cemetery."""
    zone = day.cemetery.zone
    return Window(day.starts_at.astimezone(zone), day.ends_at.astimezone(zone))


def limits_of(cemetery: Cemetery) -> tuple[LimitFacts, ...]:
    """Return the limits in force: general rows, the cemetery's setting for cold, its own rows."""
    rows = WeatherLimit.objects.filter(Q(cemetery=None) | Q(cemetery=cemetery))
    setting = CemeterySetting.objects.filter(cemetery=cemetery, key=COLDEST).first()
    return _in_force(list(rows), setting)


def _in_force(
    rows: Sequence[WeatherLimit], setting: CemeterySetting | None
) -> tuple[LimitFacts, ...]:
    general = [_limit(row) for row in rows if row.cemetery_id is None]
    own = [_limit(row) for row in rows if row.cemetery_id is not None]
    default = BY_KEY[COLDEST]
    coldest = with_coldest(
        general,
        value=Decimal(str(setting.value if setting else default.default)),
        unit="F",
        source=setting.source if setting else default.source,
    )
    return chosen(coldest, own)


def _limit(row: WeatherLimit) -> LimitFacts:
    return LimitFacts(
        key=row.key,
        applies_to=Applies(row.applies_to),
        measure=Measure(row.measure),
        comparison=Comparison(row.comparison),
        value=row.value,
        unit=row.unit,
        verdict=Verdict(row.verdict),
        sentence=row.sentence,
        source=row.source,
        hours_before=row.hours_before,
        hours_after=row.hours_after,
    )


def counting_forecast(day: Workday) -> Forecast | None:
    """Return the newest forecast if it was made for the date of the day; one statement.

    A forecast of the date that the day moved away from does not count.
    """
    forecast = day.forecasts.select_related("entered_by").first()
    if forecast is None or not _is_for(_hours(forecast, day), window_of(day)):
        return None
    return forecast


def _hours(forecast: Forecast, day: Workday) -> tuple[HourFacts, ...]:
    return from_rows(forecast.hours, zone=day.cemetery.zone)


def outlook(day: Workday) -> Outlook | None:
    """Return what the forecast means for the kinds of work; None without one. Four statements."""
    forecast = counting_forecast(day)
    if forecast is None:
        return None
    kinds = tuple(kind_facts(kind) for kind in KindOfWork.objects.all())
    return _outlook(day, forecast, kinds, limits_of(day.cemetery))


def _outlook(
    day: Workday, forecast: Forecast, kinds: tuple[KindFacts, ...], limits: tuple[LimitFacts, ...]
) -> Outlook:
    window, hours = window_of(day), _hours(forecast, day)
    return Outlook(
        forecast=forecast,
        hours=hours,
        kinds=kinds,
        verdicts=verdicts(kinds, limits=limits, hours=hours, window=window),
        window=window,
        limits=limits,
    )


def outlooks(days: Iterable[Workday]) -> dict[int, Outlook]:
    """Return ``outlook`` of many days by their ids, those with a forecast; four statements."""
    asked = {day.pk: day for day in days}
    newest = Forecast.objects.filter(day=OuterRef("day")).order_by("-entered_at", "-pk")
    forecasts = Forecast.objects.filter(
        day__in=asked, pk=Subquery(newest.values("pk")[:1])
    ).order_by("day")
    cemeteries = {day.cemetery_id for day in asked.values()}
    rows = list(WeatherLimit.objects.filter(Q(cemetery=None) | Q(cemetery__in=cemeteries)))
    settings = CemeterySetting.objects.filter(cemetery__in=cemeteries, key=COLDEST)
    by_place = {setting.cemetery_id: setting for setting in settings}
    kinds = tuple(kind_facts(kind) for kind in KindOfWork.objects.all())
    found = {}
    for forecast in forecasts:
        day = asked[forecast.day_id]
        if _is_for(_hours(forecast, day), window_of(day)):
            here = [row for row in rows if row.cemetery_id in (None, day.cemetery_id)]
            limits = _in_force(here, by_place.get(day.cemetery_id))
            found[day.pk] = _outlook(day, forecast, kinds, limits)
    return found


def _is_for(hours: Sequence[HourFacts], window: Window) -> bool:
    """Return whether a forecast was made for the date of these hours.

    A stored one begins a fixed number of hours before the day as it stood then; its tail can
    reach a later date, but by hand that is only the lowest temperature of two days.
    """
    if not hours:
        return False
    began = hours[0].at.astimezone(UTC) + HOURS_BEFORE * HOUR
    return began.astimezone(window.starts_at.tzinfo).date() == window.starts_at.date()


def workable_windows(day: Workday) -> dict[str, tuple[Interval, ...]] | None:
    """Return the quarter hours in which weather lets each kind be planned; None: no forecast."""
    found = outlook(day)
    if found is None:
        return None
    return {
        key: tuple(Interval(o.start, o.end) for o in workable(rows, window=found.window))
        for key, rows in found.verdicts.items()
    }
