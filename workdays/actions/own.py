"""What a person changes on the own page: how to be reached, what they can do, their link."""

from dataclasses import replace
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.humans import same_human
from coordinator.models import Person, new_secret
from coordinator.refused import Refused, refuse
from workdays import invites, letters
from workdays.actions.replanning import plan_again
from workdays.actions.sign_ups import Contact, Wishes
from workdays.models import Notice, SignUp
from workdays.queries.locking import locked_day
from workdays.queries.seats import requests_of, traveller
from workdays.queries.sign_ups import came_with
from workdays.rules.eligibility import LIVE
from workdays.rules.refusals import Refusal
from workdays.rules.seats import Traveller, refusals_to_say

FACTS_OF_A_PLAN = {
    "cannot_lift",
    "cannot_kneel",
    "cannot_stand_long",
    "languages",
    "wishes_id",
    "comes_at",
    "leaves_at",
    "brings",
}


@transaction.atomic
def change(sign_up_id: int, contact: Contact, wishes: Wishes, *, now: datetime) -> SignUp:
    """Change what somebody said for a day before it begins. Raises Refused.

    A new from or to is new wording of the calendar entry, not a new time of the day.
    """
    day = locked_day(SignUp.objects.values_list("day_id", flat=True).get(pk=sign_up_id))
    row = SignUp.objects.select_related("person").get(pk=sign_up_id)
    row.day = day
    if row.state not in LIVE or now >= day.starts_at:
        raise Refused([Refusal("over", "This can no longer be changed; please telephone.")])
    refuse(refusals_to_say(_seats_said(row, wishes)))
    said = vars(wishes)
    if row.guardian_id:  # a minor is there no longer than the guardian
        said = {**said, "comes_at": row.comes_at, "leaves_at": row.leaves_at}
    changed = sorted([*_set(row.person, vars(contact)), *_set(row, said)])
    for other in came_with(row):
        if other.guardian_id:
            hours: dict[str, object] = {"comes_at": row.comes_at, "leaves_at": row.leaves_at}
            if moved := _set(other, hours):
                detail = {"day": day.pk, "fields": moved}
                audit.record(audit.by_link(row.person), "changed", other, detail)
    audit.record(audit.by_link(row.person), "changed", row, {"day": day.pk, "fields": changed})
    if row.state == SignUp.State.COMING:
        invites.invite(day, row.person.email, now=now)
        if FACTS_OF_A_PLAN.intersection(changed):
            plan_again(day)
    return row


def _seats_said(row: SignUp, wishes: Wishes) -> Traveller:
    """Return what somebody says about seats, with those that are agreed already."""
    before = traveller(row, requests_of(row.day))
    return replace(before, offered=wishes.seats_offered, wanted=wishes.seats_wanted)


def _set(thing: Person | SignUp, values: dict[str, object]) -> list[str]:
    changed = [name for name, value in values.items() if getattr(thing, name) != value]
    for name in changed:
        setattr(thing, name, values[name])
    if changed:
        stamp = ["changed_at"] if isinstance(thing, SignUp) else []
        thing.save(update_fields=[*changed, *stamp])
    return changed


@transaction.atomic
def renew_link(person: Person) -> bool:
    """Give a person a new secret and mail it; False when there is no mailbox to mail it to."""
    person.secret = new_secret()
    person.save(update_fields=["secret"])
    for other in same_human(person).exclude(pk=person.pk):
        other.secret = new_secret()
        other.save(update_fields=["secret"])
    audit.record(audit.by_link(person), "renewed the link", person)
    if not person.email:
        return False
    letters.new_link(person)
    return True


@transaction.atomic
def mark_seen(notice: Notice, *, now: datetime) -> None:
    """Note that a person pressed "I have seen this"; the first time counts."""
    first = Notice.objects.filter(pk=notice.pk, seen_at__isnull=True).update(seen_at=now)
    if first:
        audit.record(audit.by_link(notice.person), "saw the notice", notice, {"day": notice.day_id})
