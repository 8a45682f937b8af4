"""Write what changed on a row and tell the audit what it was before; personal values stay out."""

from collections.abc import Mapping
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import Model
from django.db.models.fields.files import FieldFile

from coordinator.refused import Refused
from workdays.rules.refusals import Refusal

ENCODER = DjangoJSONEncoder()


def plain(value: Any) -> Any:
    """Return a value that a JSON column takes: ids for rows, text for dates and numbers."""
    if isinstance(value, Model):
        return value.pk
    if isinstance(value, FieldFile):
        return value.name
    if value is None or isinstance(value, bool | int | float | str | list | dict):
        return value
    try:
        return ENCODER.default(value)
    except TypeError:
        return str(value)


# What decides whether a hand may be put on a stone, or on which day: each has a door of its own,
# which takes what is no longer allowed off coming days.
OWN_DOOR: dict[str, frozenset[str]] = {
    "stone": frozenset({"conclusion"}),
    "conclusion": frozenset({"stone", "kind"}),
    "kindofwork": frozenset(
        {"touches", "lifts", "digs", "wets", "needs_conservator", "mixed_batch", "on_section"}
    ),
    "job": frozenset({"stone", "kind"}),
    "workday": frozenset({"state", "starts_at", "ends_at"}),
    "block": frozenset({"day"}),
    "crewplan": frozenset({"day", "state"}),
    "crew": frozenset({"plan", "block"}),
    "crewjob": frozenset({"crew", "job"}),
    "jobtime": frozenset({"job", "day"}),
}


def change(row: Model, values: Mapping[str, Any]) -> dict[str, Any]:
    """Set and save the values that differ; return them as field to [before, after].

    A field that the model declares personal is only named, its values are not. Raises Refused
    for a column that is changed through a door of its own only.
    """
    personal = getattr(row, "PERSONAL", {})
    changed: dict[str, Any] = {}
    for field, after in values.items():
        before = getattr(row, field)
        if before == after:
            continue
        if field in OWN_DOOR.get(str(row._meta.model_name), ()):
            raise Refused([Refusal("own-door", f"{field} of {row} is not changed by itself.")])
        changed[field] = "changed" if field in personal else [plain(before), plain(after)]
        setattr(row, field, after)
    if changed:
        row.save(update_fields=list(changed))
    return changed


def written(row: Model, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values of a new row for the audit, without what is personal."""
    personal = getattr(row, "PERSONAL", {})
    return {field: plain(value) for field, value in values.items() if field not in personal}
