"""What somebody does with a place by a link: confirm it, take an offer, keep it, withdraw."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays import companions, invites, waiting_list
from workdays.actions.replanning import plan_again
from workdays.actions.seats import end_seats_of
from workdays.actions.sign_ups import welcome
from workdays.models import SignUp
from workdays.queries import sign_ups
from workdays.queries.locking import locked_day
from workdays.rules import eligibility
from workdays.rules.refusals import Refusal

State = SignUp.State


@transaction.atomic
def confirm(sign_up_id: int, *, now: datetime) -> SignUp:
    """Say yes to a sign-up by the link of the first mail; raises Refused when it is too late.

    Whoever waits stays on the list, unless a place is free and nobody waits before them.
    """
    row = locked_sign_up(sign_up_id)
    refusals = _refusals_to_confirm(row, now)
    if refusals:
        raise Refused(refusals)
    if row.state == State.COMING:
        return row
    Person.objects.filter(pk=row.person_id, confirmed_at__isnull=True).update(confirmed_at=now)
    row.person.refresh_from_db(fields=["confirmed_at"])
    _set(row, State.COMING if _has_a_place(row, now) else State.WAITING)
    audit.record(audit.by_link(row.person), "confirmed", row, _detail(row))
    companions.follow(row, now=now)
    welcome(row, now=now)
    return row


@transaction.atomic
def take(sign_up_id: int, *, now: datetime) -> SignUp:
    """Take an offered place; raises Refused when the offer is over."""
    row = locked_sign_up(sign_up_id)
    refusals = eligibility.refusals_to_confirm(
        sign_ups.held(row), sign_ups.open_day(row.day), now=now
    )
    if refusals:
        raise Refused(refusals)
    if row.guardian_id or row.named_by_id:
        sentence = "Whoever signed you up with themselves answers for all."
        raise Refused([Refusal("comes-with", sentence)])
    if row.state != State.COMING:
        _set(row, State.COMING)
        audit.record(audit.by_link(row.person), "took the offer", row, _detail(row))
        companions.follow(row, now=now)
        invites.invite(row.day, row.person.email, now=now)
        plan_again(row.day)
    return row


@transaction.atomic
def keep(sign_up_id: int, *, now: datetime) -> SignUp:
    """Say that one still comes after the day moved; raises Refused for who does not come.

    A guardian says it for the minors too.
    """
    row = locked_sign_up(sign_up_id)
    if row.state != State.COMING or now >= row.day.starts_at:
        raise Refused([Refusal("no-question", "There is nothing to answer for this day any more.")])
    row.question_open = False
    row.save(update_fields=["question_open", "changed_at"])
    audit.record(audit.by_link(row.person), "still comes", row, _detail(row))
    for other in sign_ups.came_with(row):
        if other.guardian_id and other.question_open:
            other.question_open = False
            other.save(update_fields=["question_open", "changed_at"])
            audit.record(audit.by_link(row.person), "still comes", other, _detail(other))
    return row


@transaction.atomic
def withdraw(sign_up_id: int, *, now: datetime, actor: audit.Actor | None = None) -> SignUp:
    """Take a person off a day; the place goes to the next on the list. Raises Refused.

    Minors go with their guardian, and adults whom the person named and nobody has asked yet.
    """
    row = locked_sign_up(sign_up_id)
    refusals = eligibility.refusals_to_withdraw(
        sign_ups.held(row), sign_ups.open_day(row.day), now=now
    )
    if refusals:
        raise Refused(refusals)
    was, who = row.state, actor or audit.by_link(row.person)
    _set(row, State.WITHDRAWN)
    audit.record(who, "withdrew", row, {**_detail(row), "was": was})
    companions.give_back(row, was)
    companions.leave_with(row, State.WITHDRAWN, actor=who)
    invites.invite(row.day, row.person.email, now=now)
    waiting_list.settle(row.day, now=now)
    if was == State.COMING:
        end_seats_of(row, now=now)
        plan_again(row.day)
    return row


def locked_sign_up(sign_up_id: int) -> SignUp:
    """Return a sign-up as it is once the row of its day is locked."""
    day = locked_day(SignUp.objects.values_list("day_id", flat=True).get(pk=sign_up_id))
    row = SignUp.objects.select_related("person").get(pk=sign_up_id)
    row.day = day
    return row


def _refusals_to_confirm(row: SignUp, now: datetime) -> list[Refusal]:
    """Return why not; that no place is free yet is no reason not to stay on the list."""
    facts = sign_ups.open_day(row.day)
    refusals = eligibility.refusals_to_confirm(sign_ups.held(row), facts, now=now)
    if sign_ups.over([row], now=now):
        sentence = "You did not answer in time and are off the waiting list; sign up again."
        return [Refusal("lapsed", sentence)]
    return [refusal for refusal in refusals if refusal.code != "waiting"]


def _has_a_place(row: SignUp, now: datetime) -> bool:
    if row.state != State.WAITING:
        return True
    rows = sign_ups.live_rows(row.day)
    offers = eligibility.next_offers(*sign_ups.line_of(row.day, rows), now=now)
    return row.pk in {offer.number for offer in offers}


def _set(row: SignUp, state: SignUp.State) -> None:
    row.state, row.held_until = state, None
    row.save(update_fields=["state", "held_until", "changed_at"])


def _detail(row: SignUp) -> dict[str, object]:
    return {"day": row.day_id, "state": row.state}
