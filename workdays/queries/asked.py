"""What is asked at sign-up, with how long it is kept as the models declare it."""

from dataclasses import dataclass

from django.apps import apps

from coordinator.personal import Keep
from workdays.rules.asked import ASKED, Asked


@dataclass(frozen=True)
class AskedLine:
    """One line of the page: what is asked and why, and when it goes."""

    asked: Asked
    kept: str


def asked_lines() -> list[AskedLine]:
    """Return each thing asked with the words of its class of keeping."""
    return [AskedLine(one, keep_of(one).value) for one in ASKED]


def keep_of(one: Asked) -> Keep:
    """Return how long the field of one thing asked is kept, from its model."""
    return declared()[one.model][one.field]


def declared() -> dict[str, dict[str, Keep]]:
    """Return the personal fields of every model by its name in lower case."""
    return {
        model._meta.model_name or "": getattr(model, "PERSONAL", {}) for model in apps.get_models()
    }
