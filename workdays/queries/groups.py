"""What the leader of a group sees: who took a place, who has signed, how many are left."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from workdays.models import Party, SignUp, Workday
from workdays.queries import naming
from workdays.queries.waivers import people_with_waiver
from workdays.rules.eligibility import LIVE


@dataclass(frozen=True)
class InGroup:
    """One person of a group: the name as it was typed, and whether a waiver holds."""

    name: str
    has_signed: bool


@dataclass(frozen=True)
class Group:
    """A group on a day."""

    party: Party
    people: Sequence[InGroup]
    day_name: str
    until: str
    is_open: bool

    @property
    def signed(self) -> int:
        """Return how many have signed."""
        return sum(one.has_signed for one in self.people)


def is_open(party: Party, *, now: datetime) -> bool:
    """Return whether people may take places by the share link now."""
    known = party.leader is not None and not party.leader.is_provisional
    held = party.held_until is not None and now < min(party.held_until, party.day.cut_off_at)
    return party.is_group and known and held and party.day.state == Workday.State.OPEN


def group(party: Party, *, now: datetime) -> Group:
    """Return a group with its people; a fixed number of statements."""
    rows = list(
        SignUp.objects.filter(party=party, state__in=LIVE)
        .select_related("person")
        .order_by("person__name", "pk")
    )
    signed = people_with_waiver(party.day, [row.person_id for row in rows])
    return Group(
        party=party,
        people=[InGroup(row.person.name, row.person_id in signed) for row in rows],
        day_name=naming.day_name(party.day),
        until=naming.moment_name(party.day, party.day.cut_off_at),
        is_open=is_open(party, now=now),
    )
