"""Erase somebody who asks for it on their own page; note who opens what is kept for a claim."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays import erasing, letters, waiting_list
from workdays.actions import places
from workdays.models import Kept, Party, Signature, SignUp
from workdays.notices import notify
from workdays.queries.erasing import Erasing, erasing_of, kept_of, named_and_silent
from workdays.queries.locking import locked_day
from workdays.queries.naming import day_name
from workdays.rules.eligibility import LIVE
from workdays.rules.erasing import ERASED_GROUP
from workdays.rules.refusals import Refusal

GONE = Refusal("gone", "You are erased already.")
LEFT = "the leader of your group has left"


@transaction.atomic
def erase(person_id: int, *, now: datetime) -> None:
    """Erase a person and the children who came under them alone. Raises Refused.

    Days to come are withdrawn from, so that places go to whoever waits; a name that a claim may
    need is kept apart. The audit names nobody: it holds numbers.
    """
    person = _held(person_id, now)
    found = erasing_of(person, now=now)
    refuse(found.refusals)
    by, mailbox = audit.by_link(person), person.email
    days = sorted({row.day for row in found.cancelled}, key=lambda day: day.starts_at)
    _withdraw(found.cancelled, by, now)
    for party in found.groups:
        _let_go(party, found, by, now)
    people = [*found.people, *named_and_silent(found.people)]
    kept = _keep(people, now)
    erasing.blank_everything(people, kept={line.person_id for line in kept}, now=now)
    for one in people:
        audit.record(by, "erased", one, {"kept": one.pk in {line.person_id for line in kept}})
    if mailbox:
        names = [day_name(day) for day in days]
        letters.erased(person, mailbox, names, max((k.until_on for k in kept), default=None))


def _held(person_id: int, now: datetime) -> Person:
    """Return a person once nobody else changes their days or them; days first, as all do.

    Raises Refused for the second of two presses.
    """
    before = erasing_of(Person.objects.get(pk=person_id), now=now)
    on = {row.day_id for row in before.cancelled} | {party.day_id for party in before.groups}
    for pk in sorted(on):
        waiting_list.lapse(locked_day(pk), now=now)  # nobody can withdraw from what is over
    person = Person.objects.select_for_update(of=("self",)).get(pk=person_id)
    if person.erased_at:
        raise Refused([GONE])
    return person


def _withdraw(rows: Sequence[SignUp], by: audit.Actor, now: datetime) -> None:
    """Take people off the days; who waits first, so that no place freed is offered to them."""
    order = sorted(rows, key=lambda row: (row.state == SignUp.State.COMING, row.pk))
    for row in order:
        if SignUp.objects.filter(pk=row.pk, state__in=LIVE).exists():  # not gone with another
            places.withdraw(row.pk, now=now, actor=by)


def _let_go(party: Party, found: Erasing, by: audit.Actor, now: datetime) -> None:
    """Give back what a group still holds, and tell whoever came by its link."""
    day = locked_day(party.day_id)
    was = Party.objects.values_list("reserved", flat=True).get(pk=party.pk)
    Party.objects.filter(pk=party.pk).update(reserved=0, held_until=None, name=ERASED_GROUP)
    audit.record(by, "gave places back", party, {"day": day.pk, "places": was})
    members = SignUp.objects.filter(party=party, state__in=LIVE).select_related("person")
    others = [row.person for row in members if row.person not in found.people]
    context = {
        "subject": f"Your group has no leader now: {day_name(day)}",
        "lines": [
            "Whoever led the group by whose link you signed up has left the programme.",
            "Your place stays yours. The places that nobody had taken went back to the day.",
        ],
    }
    notify(day, others, LEFT, context=context, now=now)
    waiting_list.settle(day, now=now)


def _keep(people: Sequence[Person], now: datetime) -> list[Kept]:
    """Put apart the names that a claim may need; what never became valid loses its name at once."""
    never = Signature.objects.filter(person__in=people, confirmed_at__isnull=True)
    never.update(typed_name="", relation="")
    lines = kept_of(people, now=now)
    rows = [
        Kept(person=line.person, name=line.person.name, until_on=line.until_on) for line in lines
    ]
    return Kept.objects.bulk_create(rows)


@transaction.atomic
def open_kept(kept: Kept, *, by: Person) -> None:
    """Note that an organiser opens what is kept of somebody, for a claim."""
    audit.record(audit.by_login(by), "opened for a claim", kept, {"person": kept.person_id})
