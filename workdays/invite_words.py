"""What stands in the calendar entry of one mailbox for one day."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from coordinator import links
from workdays.models import Crew, CrewPlan, SignUp, Workday
from workdays.queries import naming
from workdays.rules.wall_clock import hour

HALF = 32
CAUTION = "Stones are heavy and break easily: nobody works alone, the lead says when to stop."


@dataclass(frozen=True)
class Entry:
    """A day as a calendar shows it; ``names`` are the people of the mailbox who come."""

    starts_at: datetime
    ends_at: datetime
    tzid: str
    summary: str
    location: str
    latitude: float | None
    longitude: float | None
    url: str
    description: str
    names: str

    @property
    def frame(self) -> str:
        """Return a digest of time and place: a change of these asks again."""
        moments = [at.astimezone(UTC).isoformat() for at in (self.starts_at, self.ends_at)]
        return _digest([*moments, self.tzid, self.location])

    @property
    def digest(self) -> str:
        """Return the digest of time and place, then that of all words: 64 characters."""
        return self.frame + _digest([self.frame, self.summary, self.description, self.names])


def _digest(parts: Sequence[str]) -> str:
    return hashlib.sha256(json.dumps(parts).encode()).hexdigest()[:HALF]


def entry(day: Workday, people: Sequence[SignUp]) -> Entry:
    """Return the entry for these sign-ups of one mailbox; two statements."""
    latitude, longitude = naming.coordinates(day)
    return Entry(
        starts_at=day.starts_at,
        ends_at=day.ends_at,
        tzid=day.cemetery.time_zone,
        summary=f"{naming.purpose_name(day)} at {day.cemetery.name}",
        location=naming.place_name(day),
        latitude=latitude,
        longitude=longitude,
        url=links.absolute("day", day.pk),
        description=_description(day, people),
        names=joined([row.person.name for row in people]),
    )


def joined(names: Sequence[str]) -> str:
    """Return "Ana", "Ana and Li", "Ana, Li and Bo"."""
    *most, last = names or [""]
    return f"{', '.join(most)} and {last}" if most else last


def _description(day: Workday, people: Sequence[SignUp]) -> str:
    lines = [_person_line(day, row) for row in people]
    lines += [f"Meet: {day.meeting_point}."] if day.meeting_point else []
    lines += [f"Bring: {day.bring}."] if day.bring else []
    crews = crew_lines(day, [row.person_id for row in people])
    lines += ["", *crews] if crews else []
    lines += ["", CAUTION, "To change or withdraw, use the link in the mail that brought this."]
    return "\n".join(lines)


def _person_line(day: Workday, row: SignUp) -> str:
    if row.comes_at is None and row.leaves_at is None:
        return f"{row.person.name} is coming."
    zone = day.cemetery.zone
    comes = hour((row.comes_at or day.starts_at).astimezone(zone))
    leaves = hour((row.leaves_at or day.ends_at).astimezone(zone))
    return f"{row.person.name} is coming, {comes} to {leaves}."


def crew_lines(day: Workday, people: Sequence[int]) -> list[str]:
    """Return where each of these people works by the published plan: block, crew, lead."""
    crews = (
        Crew.objects.filter(
            plan__day=day,
            plan__state=CrewPlan.State.PUBLISHED,
            placements__person__in=people,
        )
        .order_by("block__starts_at", "placements__person__name", "pk")
        .values_list("placements__person__name", "block__name", "name", "lead__name")
    )
    return [f"{who}, {block}: {crew}, led by {lead}." for who, block, crew, lead in crews]
