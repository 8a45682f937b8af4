"""Print what is stored of the people and groups of one day, by name."""

import json
import sys

import django

django.setup()

from coordinator.models import AuditEntry  # noqa: E402
from workdays.models import Party, Signature, SignUp  # noqa: E402


def main(day: int) -> None:
    """Print everything as JSON."""
    rows = SignUp.objects.filter(day=day).select_related("person", "guardian", "party")
    told = {
        "people": {row.person.name: of(row) for row in rows.order_by("pk")},
        "held": [party.reserved for party in Party.objects.filter(day=day, is_group=True)],
    }
    sys.stdout.write(json.dumps(told))


def of(row: SignUp) -> dict[str, object]:
    """Return the state of somebody, who signed for them in which role, and what was noted."""
    signed = Signature.objects.filter(person=row.person, confirmed_at__isnull=False)
    entries = AuditEntry.objects.filter(thing_type="signup", thing_id=row.pk).order_by("pk")
    return {
        "state": row.state,
        "party": row.party.name if row.party else "",
        "guardian": row.guardian.name if row.guardian else "",
        "signed": [f"{one.role}: {one.typed_name}" for one in signed.order_by("pk")],
        "noted": [entry.verb for entry in entries],
        "experience": row.experience,
        "here": row.person.roll.filter(day=row.day).exists(),
    }


main(int(sys.argv[1]))
