"""What a day is called on pages and in mails, at the clock of its cemetery."""

from datetime import datetime

from workdays.models import Workday
from workdays.queries.days import local_date
from workdays.rules.wall_clock import day_words, hour


def date_name(day: Workday) -> str:
    """Return "Saturday 9 May"."""
    return day_words(local_date(day))


def day_name(day: Workday) -> str:
    """Return "Saturday 9 May at Alder Hill"."""
    return f"{date_name(day)} at {day.cemetery.name}"


def moment_name(day: Workday, moment: datetime) -> str:
    """Return "Friday 8 May, 18:00"."""
    local = moment.astimezone(day.cemetery.zone)
    return f"{day_words(local.date())}, {hour(local)}"


def purpose_name(day: Workday) -> str:
    """Return "Workday", or what a clinic teaches: "Clinic on gentle cleaning"."""
    if day.purpose != Workday.Purpose.CLINIC:
        return "Workday"
    return f"Clinic on {day.teaches.name}" if day.teaches else "Clinic"


def place_name(day: Workday) -> str:
    """Return the meeting point, the cemetery and its address, as a calendar shows a place."""
    cemetery = day.cemetery
    return ", ".join(filter(None, [day.meeting_point, cemetery.name, cemetery.address]))


def coordinates(day: Workday) -> tuple[float, float] | tuple[None, None]:
    """Return latitude and longitude in degrees; None twice unless both are known."""
    latitude, longitude = day.cemetery.latitude, day.cemetery.longitude
    if latitude is None or longitude is None:
        return None, None
    return float(latitude), float(longitude)
