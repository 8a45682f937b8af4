"""What waits for a person when the demo opens: people not confirmed, a forecast, a booking."""

from datetime import date, datetime, timedelta

from coordinator.models import Person
from training.models import Skill
from workdays.forecasts.sources import as_rows, horizon
from workdays.models import Booking, Forecast, Host, SignUp, Workday
from workdays.queries.weather import window_of
from workdays.rules.weather import HourFacts, Thunder

# A cold, clear day: below the limit for wet work until the middle of the morning.
DEGREES_C = [5, 4, 4, 3, 3, 3, 3, 3, 4, 4, 6, 8, 11, 12, 13, 13, 12, 11, 9, 8, 7, 6, 6, 5]
HUMIDITY = [90] * 6 + [86, 80, 74, 66, 60, 55, 50, 48, 47, 48, 52, 58, 64, 70, 75, 80, 84, 86]


def unsigned(day: Workday, people: list[Person], now: datetime) -> None:
    """Sign people up who have not pressed the button in their mail."""
    for person in people:
        person.confirmed_at = None
        person.save(update_fields=["confirmed_at"])
        SignUp.objects.create(
            day=day,
            person=person,
            state=SignUp.State.UNCONFIRMED,
            held_until=min(now + timedelta(hours=20), day.cut_off_at),
            languages=person.languages,
        )


def forecast(day: Workday, *, by: Person) -> None:
    """Enter a forecast that keeps cleaning waiting until the sun is up."""
    zone = day.cemetery.zone
    hours = [
        HourFacts(
            at=at,
            temperature_c=DEGREES_C[at.astimezone(zone).hour],
            humidity_percent=HUMIDITY[at.astimezone(zone).hour],
            wind_kmh=9,
            gust_kmh=18,
            rain_mm=0,
            rain_chance_percent=10,
            thunder=Thunder.NO,
        )
        for at in horizon(window_of(day))
    ]
    Forecast.objects.create(
        day=day, source=Forecast.Source.FILE, hours=as_rows(hours), entered_by=by
    )


def booking(skill: Skill, *, wished_on: date, now: datetime) -> Host:
    """Have a society ask for a clinic."""
    host = Host.objects.create(
        name="Fernwood Historical Society",
        contact_name="Alma Prentice",
        email="alma@fernwood.example",
        telephone="555-0113",
        confirmed_at=now,
    )
    Booking.objects.create(
        host=host,
        place="Fernwood churchyard, Hollin County",
        skill=skill,
        wished_on=wished_on,
        or_on=wished_on + timedelta(weeks=1),
        people=12,
        words="Most of us have never done this. We have a hall for the talk and a tap outside.",
    )
    return host
