"""What the name of a parameter says of a plain number or word: ``job_id``, ``reason``."""

from datetime import date, datetime, timedelta
from typing import Any

from django.apps import apps
from django.db.models import JSONField, Model

from tests import factories
from tests.guards.attacks.columns import Choice, of_field, plain
from tests.guards.attacks.found import PACKAGES
from tests.guards.attacks.rows import BARRED, NOW, numbers_of
from workdays.models import CrewPlan, KindOfWork, PlanRun, Workday

DANGEROUS = ("Job", "Stone", "Workday", "KindOfWork", "Conclusion", "CrewPlan", "CrewJob")
CALLED: dict[str, type[Model]] = {
    "day": Workday,
    "kind": KindOfWork,
    "plan": CrewPlan,
    "run": PlanRun,
}

# Words that are names of something outside the tables.
SAID = {"template": ("workdays/mail/offer", "workdays/mail/call")}


def singular(name: str) -> str:
    """Return what one of a list would be called: ``jobs`` and ``job_ids`` give ``job``."""
    for end in ("_ids", "_pks", "ies", "s"):
        if name.endswith(end) and len(name) > len(end) + 1:
            return name.removesuffix(end) + ("y" if end == "ies" else "")
    return name


def table_called(name: str) -> type[Model] | None:
    """Return the table whose row a number of this name names."""
    bare = name.removesuffix("_id").removesuffix("_pk").removesuffix("_number")
    last = bare.rpartition("_")[2]
    for word in (bare, bare.replace("_", ""), last):
        if word in CALLED:
            return CALLED[word]
        for model in apps.get_models():
            if model._meta.app_label in PACKAGES and model._meta.model_name == word:
                return model
    return None


def simple(hint: type, name: str) -> list[Choice]:
    """Return plain values: words, numbers, dates."""
    if issubclass(hint, datetime):
        soon = factories.START
        found: list[Any] = [soon, NOW, soon + timedelta(hours=6), soon - timedelta(days=7)]
    elif issubclass(hint, date):
        found = [factories.START.date(), NOW.date(), (NOW + timedelta(days=10)).date()]
    elif issubclass(hint, int):
        return _numbers(name)
    else:
        return _words(name)
    return [plain(value) for value in found]


def _numbers(name: str) -> list[Choice]:
    table = table_called(name)
    if table is not None:
        return [plain(pk) for pk in numbers_of(table)]
    if not name.endswith(("id", "pk", "number", "_ids", "key")):
        return [plain(value) for value in (1, 0, 2, 30)]
    dangerous = [model for model in apps.get_models() if model.__name__ in DANGEROUS]
    every = [pk for model in dangerous for pk in numbers_of(model)[:3]]
    return [plain(value) for value in (*every, 0)]


def _words(name: str) -> list[Choice]:
    """Return words: where columns have this name, what they may hold."""
    if name in SAID:
        return [plain(word) for word in SAID[name]]
    found = {
        one.words: one
        for model in apps.get_models()
        if model._meta.app_label in PACKAGES
        for field in model._meta.concrete_fields
        if field.name == name and field.related_model is None
        for one in of_field(field)
        if one.words.startswith("'")
    }
    # A conclusion's own words first: they are the most dangerous that a word can be.
    ordered = sorted(found.values(), key=lambda one: one.words != "'leave_alone'")
    return [*ordered, plain("words of somebody"), plain(""), plain(f"j{BARRED}")]


def kept_as(name: str, kind: type) -> list[Choice]:
    """Return the lists, or mappings, that columns of this name hold."""
    return [
        one
        for model in apps.get_models()
        for field in model._meta.concrete_fields
        if field.name == name and isinstance(field, JSONField)
        for one in of_field(field)
        if isinstance(one.make(), kind)
    ]
