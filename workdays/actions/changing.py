"""Write what changed on a row and tell the audit what it was before; personal values stay out."""

from collections.abc import Mapping
from typing import Any

from django.core.serializers.json import DjangoJSONEncoder
from django.db.models import Model
from django.db.models.fields.files import FieldFile

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


def change(row: Model, values: Mapping[str, Any]) -> dict[str, Any]:
    """Set and save the values that differ; return them as field to [before, after].

    A field that the model declares personal is only named, its values are not.
    """
    personal = getattr(row, "PERSONAL", {})
    changed: dict[str, Any] = {}
    for field, after in values.items():
        before = getattr(row, field)
        if before == after:
            continue
        changed[field] = "changed" if field in personal else [plain(before), plain(after)]
        setattr(row, field, after)
    if changed:
        row.save(update_fields=list(changed))
    return changed


def written(row: Model, values: Mapping[str, Any]) -> dict[str, Any]:
    """Return the values of a new row for the audit, without what is personal."""
    personal = getattr(row, "PERSONAL", {})
    return {field: plain(value) for field, value in values.items() if field not in personal}
