"""Places that a person gave over the capacity of a day, with who gave them and why."""

from dataclasses import dataclass

from coordinator.models import AuditEntry
from workdays.models import SignUp, Workday

VERB = "placed by hand"


@dataclass(frozen=True)
class ByHand:
    """One place given by hand, while the person still comes."""

    name: str
    why: str
    by: str


def placed_by_hand(day: Workday) -> list[ByHand]:
    """Return the places of a day given over its capacity, the first first; two statements."""
    rows = AuditEntry.objects.filter(verb=VERB, thing_type="signup", detail__day=day.pk)
    given = {row.thing_id: row for row in rows.select_related("actor").order_by("pk")}
    coming = SignUp.objects.filter(day=day, state=SignUp.State.COMING, pk__in=[*given])
    names = {str(pk): name for pk, name in coming.values_list("pk", "person__name")}
    return [
        ByHand(names[pk], str(row.detail.get("why", "")), row.actor.name if row.actor else "")
        for pk, row in given.items()
        if pk in names
    ]
