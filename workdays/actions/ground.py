"""Change what is known of a place: the cemetery, its settings, sections, stones."""

from collections.abc import Mapping
from copy import copy
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.utils.text import slugify

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import change, written
from workdays.actions.jobs_of_days import TakenOff, take_blocked_off_days
from workdays.actions.surveys import READ_BY_TRIAGE, conclude_anew
from workdays.models import (
    Cemetery,
    CemeterySetting,
    Job,
    Section,
    Stone,
)
from workdays.queries.ground import settings_of
from workdays.rules.refusals import Refusal
from workdays.rules.setting_values import refusals_to_set
from workdays.rules.settings import BY_KEY, Value

# Words that stand in the same place of an address as a cemetery's name.
TAKEN_SLUGS = frozenset(
    {
        *("new", "kinds", "stones", "jobs", "permissions", "photographs", "pieces", "families"),
        *("leave", "chains", "steps", "materials"),
    }
)


@transaction.atomic
def add_cemetery(values: Mapping[str, Any], *, by: Person) -> Cemetery:
    """Add a cemetery; its address is made from its name and never changes."""
    cemetery = Cemetery.objects.create(slug=_free_slug(values["name"]), **values)
    audit.record(audit.by_login(by), "added", cemetery, written(cemetery, values))
    return cemetery


def _free_slug(name: str) -> str:
    stem = slugify(name)[:40] or "cemetery"
    taken = TAKEN_SLUGS | set(
        Cemetery.objects.filter(slug__startswith=stem).values_list("slug", flat=True)
    )
    if stem not in taken:
        return stem
    return next(slug for n in range(2, len(taken) + 3) if (slug := f"{stem}-{n}") not in taken)


@transaction.atomic
def change_cemetery(cemetery: Cemetery, values: Mapping[str, Any], *, by: Person) -> None:
    """Change the facts of a place."""
    row = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
    changed = change(row, values)
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


@transaction.atomic
def change_setting(
    cemetery: Cemetery, key: str, value: Value, *, source: str, by: Person, now: datetime
) -> list[TakenOff]:
    """Decide a setting for a cemetery, with its source; return the jobs this takes off days."""
    cemetery = Cemetery.objects.select_for_update().get(pk=cemetery.pk)
    refusals = refusals_to_set(BY_KEY[key], value, source)
    if refusals:
        raise Refused(refusals)
    before = settings_of(cemetery)[key]
    row, _ = CemeterySetting.objects.update_or_create(
        cemetery=cemetery,
        key=key,
        defaults={"value": value, "source": source, "changed_by": by},
    )
    audit.record(
        audit.by_login(by), "changed", row, {"key": key, "value": [before, value], "source": source}
    )
    return take_blocked_off_days(Job.objects.filter(cemetery=cemetery), by=by, now=now)


@transaction.atomic
def add_section(cemetery: Cemetery, values: Mapping[str, Any], *, by: Person) -> Section:
    """Add a section."""
    section = Section(cemetery=cemetery, **values)
    _save_named(section, "There is already a section of this name here.")
    audit.record(audit.by_login(by), "added", section, written(section, values))
    return section


@transaction.atomic
def change_section(section: Section, values: Mapping[str, Any], *, by: Person) -> None:
    """Change a section."""
    row = Section.objects.select_for_update().get(pk=section.pk)
    changed = _change_named(row, values, "There is already a section of this name here.")
    if changed:
        audit.record(audit.by_login(by), "changed", row, changed)


@transaction.atomic
def add_stone(cemetery: Cemetery, values: Mapping[str, Any], *, by: Person) -> Stone:
    """Add a stone that nobody has surveyed yet."""
    stone = Stone(cemetery=cemetery, **values)
    _save_named(stone, "There is already a stone with this number here.")
    audit.record(audit.by_login(by), "added", stone, written(stone, values))
    return stone


@transaction.atomic
def change_stone(
    stone: Stone, values: Mapping[str, Any], *, by: Person, now: datetime
) -> list[TakenOff]:
    """Change what is known of a stone; its jobs follow it into another section.

    What triage reads of the stone is concluded from anew; return the jobs this takes off days.
    """
    row = Stone.objects.select_for_update(of=("self",)).select_related("cemetery").get(pk=stone.pk)
    before = copy(row)
    changed = _change_named(row, values, "There is already a stone with this number here.")
    if not changed:
        return []
    if "section" in changed:
        Job.objects.filter(stone=row).update(section=row.section)
    audit.record(audit.by_login(by), "changed", row, changed)
    if READ_BY_TRIAGE & set(changed):
        return conclude_anew(before, row, by=by, now=now)
    return []


def _save_named(row: Section | Stone, taken: str) -> None:
    """Save a row; two people who take the same name at once get a sentence, not an error."""
    try:
        with transaction.atomic():
            row.save(force_insert=True)
    except IntegrityError:
        raise Refused([Refusal("taken", taken)]) from None


def _change_named(row: Section | Stone, values: Mapping[str, Any], taken: str) -> dict[str, Any]:
    try:
        with transaction.atomic():
            return change(row, values)
    except IntegrityError:
        raise Refused([Refusal("taken", taken)]) from None
