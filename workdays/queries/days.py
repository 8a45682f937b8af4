"""Lists of days for those who run them."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from django.db.models import QuerySet

from workdays.models import Cemetery, Workday
from workdays.queries.places import places_of
from workdays.rules.places import Places
from workdays.rules.wall_clock import day_words, hour


@dataclass(frozen=True)
class DayRow:
    """One day of a list, with its places; date and hours by the clock of its cemetery."""

    day: Workday
    places: Places
    on: date
    hours: str

    @property
    def when(self) -> str:
        """Return "Saturday 9 May"."""
        return day_words(self.on)

    @property
    def is_draft(self) -> bool:
        """Return whether nobody can sign up yet."""
        return self.day.state == Workday.State.DRAFT

    @property
    def heading(self) -> str:
        """Return the sentence that says how the day stands."""
        return f"{self.when} at {self.day.cemetery.name}: {self._answer}"

    @property
    def _answer(self) -> str:
        if self.day.state == Workday.State.OPEN:
            return self.places.words
        return str(self.day.get_state_display())


def local_date(day: Workday) -> date:
    """Return the date of a day by the clock of its cemetery."""
    return day.starts_at.astimezone(day.cemetery.zone).date()


def hours_words(day: Workday) -> str:
    """Return "9:00 to 15:00" by the clock of its cemetery."""
    zone = day.cemetery.zone
    return f"{hour(day.starts_at.astimezone(zone))} to {hour(day.ends_at.astimezone(zone))}"


def day_rows(days: Iterable[Workday], *, now: datetime) -> list[DayRow]:
    """Return days with their places in the order given; two statements more than the days."""
    listed = list(days)
    full = places_of(listed, now=now)
    return [DayRow(day, full[day.pk], local_date(day), hours_words(day)) for day in listed]


def days_at(cemeteries: "QuerySet[Cemetery]") -> "QuerySet[Workday]":
    """Return all days at these cemeteries."""
    return Workday.objects.filter(cemetery__in=cemeteries).select_related("cemetery", "teaches")


def days_to_come(cemeteries: "QuerySet[Cemetery]", *, now: datetime) -> "QuerySet[Workday]":
    """Return days that are not over, the next one first."""
    return days_at(cemeteries).filter(ends_at__gte=now).order_by("starts_at", "pk")


def days_past(cemeteries: "QuerySet[Cemetery]", *, now: datetime) -> "QuerySet[Workday]":
    """Return days that are over, the last one first."""
    return days_at(cemeteries).filter(ends_at__lt=now).order_by("-starts_at", "-pk")
