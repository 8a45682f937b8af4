"""People whom somebody signed up with themselves: they have places, wait and leave together.

Called under the lock of the day's row, by actions, by the sweep and when a place is offered.
"""

from datetime import datetime

from coordinator import audit
from coordinator.models import Person
from workdays import letters
from workdays.models import Party, SignUp, Workday
from workdays.queries.sign_ups import came_with, open_day
from workdays.rules import parties
from workdays.rules.eligibility import held_until

State = SignUp.State
PLACED = (State.UNCONFIRMED, State.OFFERED, State.COMING)
UNANSWERED = (State.UNCONFIRMED, State.WAITING)


def follow(row: SignUp, *, now: datetime) -> None:
    """Bring the people of a sign-up where it stands now.

    Who comes has the minors along; each adult is asked by a mail of their own, and their place is
    held until the cut-off. While the first person waits or is offered places, so do all, save
    adults who were asked before: the first has left and come back, and their place is their own.
    """
    for other in came_with(row):
        if other.named_by_id and letters.was_asked(other):
            continue
        if row.state != State.COMING:
            _put(other, State(row.state), row.held_until)
        elif other.guardian_id:
            _put(other, State.COMING, None)
            _confirm(other.person, now)
        elif other.state != State.COMING:
            _put(other, State.UNCONFIRMED, row.day.cut_off_at)
            other.day = row.day
            letters.ask_to_answer(other)


def _put(row: SignUp, state: SignUp.State, until: datetime | None) -> None:
    if (row.state, row.held_until) == (state, until):
        return
    row.state, row.held_until = state, until
    row.save(update_fields=["state", "held_until", "changed_at"])
    audit.record(audit.by_rule("comes-with"), "follows", row, {"day": row.day_id, "state": state})


def _confirm(person: Person, now: datetime) -> None:
    if person.confirmed_at is None:
        person.confirmed_at = now
        person.save(update_fields=["confirmed_at"])


def hold_until_cut_off(day: Workday, *, was: datetime, now: datetime) -> None:
    """Move what is held until a day's cut-off along with it: unanswered places, groups.

    A stranger's place is held no longer than any, and what a link stands on keeps its moment: an
    offer, a group before its leader's yes.
    """
    if was == day.cut_off_at:
        return
    facts = open_day(day)
    rows = SignUp.objects.filter(day=day, state__in=UNANSWERED, held_until=was)
    for row in rows.select_related("person"):
        is_sure = not row.person.is_provisional or letters.was_asked(row)
        _put(row, State(row.state), held_until(facts, now=now, named_by_party=is_sure))
    groups = Party.objects.filter(day=day, leader__confirmed_at__isnull=False, held_until=was)
    for party in groups.filter(is_group=True):
        party.held_until = day.cut_off_at
        party.save(update_fields=["held_until"])
        detail = {"day": day.pk, "until": day.cut_off_at.isoformat()}
        audit.record(audit.by_rule("cut-off-moved"), "holds places until", party, detail)


def leave_with(row: SignUp, state: SignUp.State, *, actor: audit.Actor) -> list[SignUp]:
    """Take off the day who cannot stay without this person: minors, and adults not yet asked."""
    others = {other.pk: other for other in came_with(row)}
    members = [
        parties.Member(pk, is_minor=bool(other.guardian_id), asked=letters.was_asked(other))
        for pk, other in others.items()
    ]
    gone = [others[pk] for pk in parties.goes_along(members)]
    for other in gone:
        was = other.state
        other.state, other.held_until = state, None
        other.save(update_fields=["state", "held_until", "changed_at"])
        detail = {"day": other.day_id, "was": was, "with": row.pk}
        audit.record(
            actor, "left with the guardian" if other.guardian_id else "left", other, detail
        )
        give_back(other, was)
    return gone


def give_back(row: SignUp, was: str) -> None:
    """Return a place that somebody leaves to the group whose it was, while that holds places."""
    if row.party_id is None or was not in PLACED:
        return
    party = Party.objects.select_for_update().get(pk=row.party_id)
    if party.is_group and party.held_until is not None:
        party.reserved += 1
        party.save(update_fields=["reserved"])
