"""For whom of a sign-up nothing that was signed holds on its day."""

from collections.abc import Iterable
from datetime import datetime

from workdays.models import Signature, SignUp, Workday
from workdays.queries.sign_ups import came_with
from workdays.queries.signatures import is_minor
from workdays.queries.waivers import people_with_waiver, people_with_waiver_by_day
from workdays.rules.signing_anew import MAY_SIGN


def may_be_signed_for(row: SignUp, *, now: datetime) -> bool:
    """Return whether somebody is on the list of an open day that is not over."""
    is_ahead = row.day.state == Workday.State.OPEN and row.day.ends_at > now
    return row.state in MAY_SIGN and is_ahead


def unsigned(row: SignUp) -> list[SignUp]:
    """Return the sign-up and those of the children who come with it for which nothing holds.

    Left out is for whom this person's name would not hold: a child who has come of age, somebody
    who is not of age yet there.
    """
    wards = [other for other in came_with(row) if other.guardian_id == row.person_id]
    rows = [] if is_minor(row) else [row]
    rows += [other for other in wards if is_minor(other)]
    holds = people_with_waiver(row.day, [other.person_id for other in rows])
    return [other for other in rows if other.person_id not in holds]


def unsigned_ahead(rows: Iterable[SignUp], *, now: datetime) -> set[int]:
    """Return ids of those of one human's own sign-ups for whose day nothing holds."""
    ahead = [row for row in rows if may_be_signed_for(row, now=now)]
    people: dict[Workday, list[int]] = {}
    for row in ahead:
        people.setdefault(row.day, []).append(row.person_id)
    holds = people_with_waiver_by_day(people) if people else {}
    return {row.pk for row in ahead if row.person_id not in holds[row.day_id]}


def relations_said(rows: Iterable[SignUp]) -> dict[int, str]:
    """Return by child what the guardian was called when they signed last; one statement."""
    ids = [row.person_id for row in rows if row.guardian_id]
    said = Signature.objects.filter(person__in=ids, role=Signature.Role.GUARDIAN).order_by("pk")
    return dict(said.values_list("person_id", "relation"))
