"""Note what the owner and the families allow; what loses its leave goes off the days to come."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import refuse
from workdays.actions.changing import change, written
from workdays.actions.jobs_of_days import TakenOff, take_blocked_off_days
from workdays.models import Cemetery, FamilyLeave, Job, KindOfWork, Permission, Stone
from workdays.queries.ground import today_at
from workdays.rules.leave import FamilyState
from workdays.rules.leave_dates import refusals_to_note_family, refusals_to_permit
from workdays.rules.refusals import Refusal


@dataclass(frozen=True)
class Permitted:
    """A permission that was noted, and the jobs that its terms took off days to come."""

    permission: Permission
    taken_off: list[TakenOff]


@dataclass(frozen=True)
class Wanted:
    """A family that was noted, and the jobs that wait for it and went off days to come."""

    family: FamilyLeave
    taken_off: list[TakenOff]


@transaction.atomic
def add_permission(
    cemetery: Cemetery,
    values: Mapping[str, Any],
    *,
    kinds: Sequence[KindOfWork],
    by: Person,
    now: datetime,
) -> Permitted:
    """Note the owner's written leave; its quiet hours bind days that are there already."""
    refuse(_refusals_to_permit(cemetery, values, kinds, now))
    permission = Permission.objects.create(cemetery=cemetery, **values)
    permission.kinds.set(kinds)
    detail = written(permission, values) | {"kinds": [kind.key for kind in kinds]}
    detail["paper"] = permission.paper.name
    audit.record(audit.by_login(by), "added", permission, detail)
    jobs = Job.objects.filter(cemetery=cemetery)
    return Permitted(permission, take_blocked_off_days(jobs, by=by, now=now))


@transaction.atomic
def change_permission(
    permission: Permission,
    values: Mapping[str, Any],
    *,
    kinds: Sequence[KindOfWork],
    by: Person,
    now: datetime,
) -> list[TakenOff]:
    """Mend or end a permission; return the jobs that lose their leave and go off coming days."""
    rows = Permission.objects.select_for_update(of=("self",)).select_related("cemetery")
    row = rows.get(pk=permission.pk)
    refuse(_refusals_to_permit(row.cemetery, _stored(row, values), kinds, now))
    changed = change(row, values) | _change_kinds(row, kinds)
    if not changed:
        return []
    audit.record(audit.by_login(by), "changed", row, changed)
    jobs = Job.objects.filter(cemetery_id=row.cemetery_id)
    return take_blocked_off_days(jobs, by=by, now=now)


@transaction.atomic
def add_family(
    stone: Stone,
    values: Mapping[str, Any],
    *,
    kinds: Sequence[KindOfWork],
    by: Person,
    now: datetime,
) -> Wanted:
    """Note a family whose leave is wanted for some kinds of work at a stone."""
    refuse(_refusals_to_note(stone, values, kinds, now))
    family = FamilyLeave.objects.create(stone=stone, **values)
    family.kinds.set(kinds)
    detail = written(family, values) | {"kinds": [kind.key for kind in kinds]}
    audit.record(audit.by_login(by), "added", family, detail)
    return Wanted(family, _take_off(stone, by, now))


@transaction.atomic
def change_family(
    family: FamilyLeave,
    values: Mapping[str, Any],
    *,
    kinds: Sequence[KindOfWork],
    by: Person,
    now: datetime,
) -> list[TakenOff]:
    """Note what a family answered; return the jobs that lose its leave and go off coming days."""
    rows = FamilyLeave.objects.select_for_update(of=("self",)).select_related("stone__cemetery")
    row = rows.get(pk=family.pk)
    refuse(_refusals_to_note(row.stone, _stored(row, values), kinds, now))
    changed = change(row, values) | _change_kinds(row, kinds)
    if not changed:
        return []
    audit.record(audit.by_login(by), "changed", row, changed)
    return _take_off(row.stone, by, now)


def _stored(row: Permission | FamilyLeave, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return all values of a row as they would be after a change of some."""
    names = [field.name for field in row._meta.concrete_fields]
    return {name: getattr(row, name) for name in names} | dict(values)


def _change_kinds(row: Permission | FamilyLeave, kinds: Sequence[KindOfWork]) -> dict[str, Any]:
    before = sorted(row.kinds.values_list("key", flat=True))
    after = sorted(kind.key for kind in kinds)
    if before == after:
        return {}
    row.kinds.set(kinds)
    return {"kinds": [before, after]}


def _take_off(stone: Stone, by: Person, now: datetime) -> list[TakenOff]:
    return take_blocked_off_days(Job.objects.filter(stone=stone), by=by, now=now)


def _refusals_to_permit(
    cemetery: Cemetery, values: Mapping[str, Any], kinds: Sequence[KindOfWork], now: datetime
) -> list[Refusal]:
    return refusals_to_permit(
        kinds=kinds,
        starts_on=values["starts_on"],
        ends_on=values["ends_on"],
        today=today_at(cemetery, now=now),
        given_on=values.get("given_on"),
        quiet_from=values.get("quiet_from"),
        quiet_until=values.get("quiet_until"),
    )


def _refusals_to_note(
    stone: Stone, values: Mapping[str, Any], kinds: Sequence[KindOfWork], now: datetime
) -> list[Refusal]:
    return refusals_to_note_family(
        state=FamilyState(values["state"]),
        kinds=kinds,
        asked_on=values.get("asked_on"),
        answered_on=values.get("answered_on"),
        today=today_at(stone.cemetery, now=now),
    )
