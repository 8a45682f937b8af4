"""Rows that say what was said: nobody edits them, by whichever way a row is written."""

from collections.abc import Iterable
from typing import Any, ClassVar, TypeVar

from django.db import models

Row = TypeVar("Row", bound="FrozenRow")


class Frozen(Exception):  # noqa: N818  # an answer: this is not how one changes such a row
    """A row was to be changed that never changes."""


class FrozenRows(models.QuerySet[Row]):
    """Refuses to change or take away what never changes."""

    def update(self, **values: Any) -> int:
        """Change what may change; personal values may be blanked, not replaced."""
        _refuse(self.model, {name for name in values if values[name] != ""})
        _refuse(self.model, set(values) - set(getattr(self.model, "PERSONAL", {})))
        return super().update(**values)

    def delete(self) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise Frozen(f"{self.model.__name__}: rows stay.")


def _refuse(model: type["FrozenRow"], names: Iterable[str]) -> None:
    kept = sorted(set(names) - model.MAY_CHANGE)
    if kept:
        raise Frozen(f"{model.__name__}: {', '.join(kept)} never changes.")


class FrozenRow(models.Model):
    """A row that is written once; only the fields of ``MAY_CHANGE`` are written again."""

    MAY_CHANGE: ClassVar[frozenset[str]] = frozenset()

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Write a new row, or the named fields that may change."""
        if not self._state.adding:
            every = {field.name for field in self._meta.concrete_fields}
            named = kwargs.get("update_fields")
            _refuse(type(self), every if named is None else named)
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        """Refuse."""
        raise Frozen(f"{type(self).__name__}: rows stay.")
