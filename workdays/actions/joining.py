"""Join two rows of people who are one human being, and part them again: nothing else moves."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused, refuse
from workdays.access import Viewer
from workdays.queries.joining import JOINED, PARTED, pair_of
from workdays.rules.joining import refusals_to_join, refusals_without_reason, which_stays
from workdays.rules.refusals import Refusal


@transaction.atomic
def join(person: Person, same: Person, *, who: Viewer, why: str, now: datetime) -> Person:
    """Join two rows; return the one by which both are known from now on. Raises Refused.

    Pressed twice it is done once. What was signed, learnt and done stays with its row.
    """
    rows = Person.objects.select_for_update().order_by("pk").in_bulk([person.pk, same.pk])
    one, other = rows[person.pk], rows[same.pk]
    for row, kept in ((one, other), (other, one)):
        if row.joined_into_id == kept.pk:
            return kept
    pair = pair_of(one, other, who, now=now)
    refuse([*refusals_to_join(pair), *refusals_without_reason(pair, why)])
    kept = rows[which_stays(pair.one, pair.other)]
    gone = other if kept is one else one
    gone.joined_into = kept
    gone.save(update_fields=["joined_into"])
    actor = audit.by_login(who.person)
    audit.record(actor, JOINED, gone, {"into": kept.pk, "why": why})
    audit.record(actor, JOINED, kept, {"with": gone.pk, "why": why})
    return kept


@transaction.atomic
def part(joined_id: int, *, who: Viewer) -> Person:
    """Part a row from the person it was joined into; return that person. Raises Refused."""
    row = (
        Person.objects.select_for_update(of=("self",))
        .select_related("joined_into")
        .get(pk=joined_id)
    )
    kept = row.joined_into
    if kept is None:
        raise Refused([Refusal("parted", "They are two already.")])
    row.joined_into = None
    row.save(update_fields=["joined_into"])
    actor = audit.by_login(who.person)
    audit.record(actor, PARTED, row, {"from": kept.pk})
    audit.record(actor, PARTED, kept, {"from": row.pk})
    return kept
