"""Days as entries of a public calendar: the day's own UID, and nobody's name."""

from django.conf import settings

from coordinator import ics, links
from workdays.models import Workday
from workdays.queries import naming


def public_entry(day: Workday) -> ics.PublicDay:
    """Return a day as everybody may see it in a calendar."""
    latitude, longitude = naming.coordinates(day)
    url = links.absolute("day", day.pk)
    bring = f"Bring: {day.bring}.\n" if day.bring else ""
    return ics.PublicDay(
        uid=day.uid,
        sequence=day.sequence,
        dtstamp=day.changed_at,
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        tzid=day.cemetery.time_zone,
        summary=f"{naming.purpose_name(day)} at {day.cemetery.name}",
        description=f"{bring}Sign up: {url}",
        location=naming.place_name(day),
        latitude=latitude,
        longitude=longitude,
        url=url,
        called_off=day.state == Workday.State.CALLED_OFF,
    )


def description() -> ics.Feed:
    """Return what the feed says about itself."""
    return ics.Feed(
        name=settings.PROGRAMME_NAME,
        source=links.absolute("feed"),
        description="Workdays and clinics on old gravestones",
        page=links.absolute("days_public"),
    )
