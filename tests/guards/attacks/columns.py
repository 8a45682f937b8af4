"""Values for the columns of any table, read off its fields and off what is stored in them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, time, timedelta
from functools import cache
from itertools import count
from typing import Any
from uuid import UUID

from django.apps import apps
from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.db import models
from django.db.models import Field, Model
from django.db.models.fields.files import FileField

from tests.guards.attacks.found import PACKAGES
from tests.guards.attacks.rows import NOW, numbers_of

FRESH = count(1)
STORED = 4  # so many values that a column holds already are tried


@dataclass(frozen=True)
class Choice:
    """One thing to try: what it is called in a report, and how to make it afresh."""

    words: str
    make: Callable[[], Any]


def plain(value: Any) -> Choice:
    """Return a value that does not change as a choice."""
    return Choice(repr(value), lambda: value)


class Row(Choice):
    """A row, read from its table each time it is tried."""


def row(model: type[Model], pk: Any) -> Choice:
    """Return a row as a choice."""
    return Row(f"{model.__name__} {pk}", lambda: model._default_manager.get(pk=pk))


def rows(model: type[Model]) -> list[Choice]:
    """Return every row of a table, the most dangerous first."""
    return [row(model, pk) for pk in numbers_of(model)]


@cache
def of_field(field: Field[Any, Any]) -> list[Choice]:
    """Return what a column can hold: what it holds somewhere already, then what its type allows."""
    nothing = [plain(None)] if field.null else []
    if isinstance(field.related_model, type):
        return [*rows(field.related_model), *nothing]
    if field.unique:
        return [Choice("something new", lambda: _fresh(field)), *nothing]
    choices = [plain(value) for value, _ in field.flatchoices]
    if choices:
        return [*choices, *nothing]
    if isinstance(field, FileField):
        return [plain(""), Choice("a file", lambda: ContentFile(b"words", name="words.txt"))]
    stored = field.model._default_manager.order_by("pk").values_list(field.name, flat=True)
    found = [value for value in stored[:50] if value not in (None, "", [], {})]
    values = _different([*found[::-1], *_by_type(field)])
    return [*(plain(value) for value in values if _allowed(field, value)), *nothing]


def _different(values: Iterable[Any]) -> list[Any]:
    found: list[Any] = []
    for value in values:
        if value not in found:
            found.append(value)
    return found[: STORED + 3]


def _allowed(field: Field[Any, Any], value: Any) -> bool:
    try:
        field.clean(value, None)
    except ValidationError:
        return False
    return True


def _by_type(field: Field[Any, Any]) -> list[Any]:
    """Return values for a column by its type, the default first."""
    default = [field.get_default()] if field.has_default() else []
    by_type: dict[type[Field[Any, Any]], list[Any]] = {
        models.BooleanField: [True, False],
        models.DateTimeField: [NOW + timedelta(days=3), NOW, NOW - timedelta(days=30)],
        models.DateField: [(NOW + timedelta(days=3)).date(), NOW.date(), date(2020, 2, 29)],
        models.TimeField: [time(9), time(23, 45)],
        models.IntegerField: [2, 30, 1, 0],
        models.FloatField: [1.0, 30.0],
        models.DecimalField: [1, 30],
        models.EmailField: ["somebody@volunteers.example"],
        models.CharField: ["words", ""],
        models.TextField: ["words", ""],
        models.JSONField: [True, "words"],
    }
    if field.blank and isinstance(field, models.CharField | models.TextField):
        default = ["", *default]
    if default and isinstance(field, models.JSONField):
        return default
    for kind in type(field).__mro__:
        if kind in by_type:
            return [*default, *by_type[kind]]
    return default


def _fresh(field: Field[Any, Any]) -> Any:
    if field.has_default():
        return field.get_default()
    number = next(FRESH)
    if isinstance(field, models.EmailField):
        return f"new{number}@volunteers.example"
    if isinstance(field, models.UUIDField):
        return UUID(int=number)
    return number + 10**6 if isinstance(field, models.IntegerField) else f"new-{number}"


def writable(model: type[Model]) -> list[Field[Any, Any]]:
    """Return the columns of a table that somebody can set."""
    return [
        field
        for field in model._meta.concrete_fields
        if not field.primary_key and not getattr(field, "auto_now", False)
    ]


def decides(field: Field[Any, Any]) -> bool:
    """Whether a column ties rows together, says yes or no, or takes one of a few words."""
    return isinstance(field, models.BooleanField) or bool(field.related_model or field.flatchoices)


def fresh_for(field: Field[Any, Any]) -> Choice | None:
    """Return a value for a new row where the old one's may not be used again; else None."""
    rules = field.model._meta.constraints
    unique = [one.fields for one in rules if isinstance(one, models.UniqueConstraint)]
    if field.unique or any(names[-1:] == (field.name,) for names in unique):
        if field.one_to_one and field.null:
            return plain(None)
        if field.related_model is None:
            return Choice("new", lambda: _fresh(field))
    return None


def fill_empty_tables() -> None:
    """Put one harmless row into each table of the product that has none."""
    waiting = [model for model in apps.get_models() if model._meta.app_label in PACKAGES]
    for _ in range(3):  # one table needs a row of another
        waiting = [model for model in waiting if not model._default_manager.exists()]
        for model in waiting:
            of_field.cache_clear()
            values = {field.name: _harmless(field) for field in writable(model)}
            if None not in [values[f.name] for f in writable(model) if not f.null]:
                model._default_manager.create(**values)
    of_field.cache_clear()
    waiting = [model for model in waiting if not model._default_manager.exists()]
    assert waiting == [], f"make a row in tests/guards/attacks/world.py for: {waiting}"


def _harmless(field: Field[Any, Any]) -> Any:
    if field.one_to_one and field.null:
        return None
    if field.related_model is not None:
        found = [one for one in of_field(field) if one.words != "None"]
        return found[-1].make() if found else None
    return of_field(field)[0].make() if not field.null else None
