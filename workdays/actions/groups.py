"""What the leader of a group does: hold places, say yes, give some back, renew the share link."""

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person, new_secret
from coordinator.refused import refuse
from workdays import group_mail, waiting_list
from workdays.models import Party, SignUp, Workday
from workdays.queries import sign_ups
from workdays.queries.locking import locked_day
from workdays.rules import eligibility
from workdays.rules import groups as rules


@dataclass(frozen=True)
class GroupWishes:
    """A group as its leader writes it."""

    group: str
    places: int
    name: str
    email: str
    telephone: str


@transaction.atomic
def hold_places(day_id: int, wishes: GroupWishes, *, now: datetime) -> Party:
    """Hold places for a group until its leader says yes by the mailed link. Raises Refused."""
    day = locked_day(day_id)
    rows = waiting_list.lapse(day, now=now)
    if again := _sent_twice(day, wishes):
        return again
    facts = sign_ups.open_day(day)
    free = _free(rows, facts, now)
    refuse(rules.refusals_to_hold(facts, wishes.places, free=free, now=now))
    leader = Person.objects.create(
        name=wishes.name, email=wishes.email, telephone=wishes.telephone, is_adult=True
    )
    party = Party.objects.create(
        day=day,
        name=wishes.group,
        leader=leader,
        reserved=wishes.places,
        is_group=True,
        held_until=eligibility.held_until(facts, now=now),
    )
    detail = {"day": day.pk, "places": wishes.places}
    audit.record(audit.by_link(leader), "held places", party, detail)
    group_mail.ask_leader(party)
    return party


def _free(rows: list[SignUp], facts: eligibility.OpenDay, now: datetime) -> int:
    line = sign_ups.in_line(rows)
    if eligibility.waiting_list(line, now=now):
        return 0
    return eligibility.places_left(facts, line, now=now)


def _sent_twice(day: Workday, wishes: GroupWishes) -> Party | None:
    """Return the group that the same form has made already, and nobody has said yes to."""
    same = Party.objects.filter(
        day=day,
        is_group=True,
        name=wishes.group,
        leader__email=wishes.email,
        leader__confirmed_at__isnull=True,
        reserved=wishes.places,
        held_until__isnull=False,
    )
    return same.first()


@transaction.atomic
def confirm_group(party_id: int, *, now: datetime) -> Party:
    """Say yes by the mailed link: the places are held until the cut-off. Raises Refused."""
    party = _locked(party_id)
    refuse(rules.refusals_to_take(party.reserved, 1, until=party.held_until, now=now))
    refuse(
        eligibility.refusals_to_sign_up(
            sign_ups.open_day(party.day), eligibility.Comer(True, True), now=now
        )
    )
    assert party.leader is not None  # noqa: S101  # a group is made with its leader
    party.leader.confirmed_at = now
    party.leader.save(update_fields=["confirmed_at"])
    party.held_until = party.day.cut_off_at
    party.save(update_fields=["held_until"])
    audit.record(audit.by_link(party.leader), "confirmed", party, {"day": party.day_id})
    group_mail.tell_leader(party)
    return party


@transaction.atomic
def give_places_back(party_id: int, given: int, *, now: datetime) -> Party:
    """Give back places that the group does not need; they go to whoever waits. Raises Refused."""
    party = _locked(party_id)
    refuse(rules.refusals_to_give_back(party.reserved, given))
    party.reserved -= given
    party.save(update_fields=["reserved"])
    detail = {"day": party.day_id, "places": given}
    audit.record(audit.by_link(party.leader), "gave places back", party, detail)
    waiting_list.settle(party.day, now=now)
    return party


@transaction.atomic
def renew_share_link(party_id: int) -> Party:
    """Make the share link useless and give the group a new one."""
    party = _locked(party_id)
    party.secret = new_secret()
    party.save(update_fields=["secret"])
    audit.record(audit.by_link(party.leader), "renewed the link", party, {"day": party.day_id})
    return party


def _locked(party_id: int) -> Party:
    """Return a group as it is once the row of its day is locked."""
    day = locked_day(Party.objects.values_list("day_id", flat=True).get(pk=party_id))
    party = Party.objects.select_related("leader").get(pk=party_id)
    party.day = day
    return party
