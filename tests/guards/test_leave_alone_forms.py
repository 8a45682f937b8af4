"""No form puts work on a day: forms write nothing, each is filled in on a page that is attacked.

Every form class of the product is found by looking, none exempt; test_leave_alone_pages.py posts to
the pages.
"""

import ast
import sys
from collections.abc import Iterable
from types import ModuleType

import pytest
from django.conf import settings
from django.forms import BaseForm

from tests.guards.attacks.found import modules, source_of, writers_it_knows, writes_itself
from tests.guards.attacks.pages import form_classes
from workdays.models import Job

FORMS = sorted(form_classes(), key=lambda form: f"{form.__module__}.{form.__name__}")


def faults(form: type[BaseForm], pages: Iterable[ModuleType]) -> list[str]:
    """Return what is wrong with a form: it could write, or no page that is posted to knows it."""
    module = sys.modules[form.__module__]
    found = [f"{form.__name__} writes: forms clean, actions write"] if writes_itself(module) else []
    found += [f"{form.__name__} has {name}, which writes" for name in writers_it_knows(module)]
    of_log_in = f"{form.__module__}.{form.__name__}" in settings.ACCOUNT_FORMS.values()
    if not of_log_in and not any(_fills_in(page, form) for page in pages):
        found.append(f"{form.__name__} is filled in on no page")
    return found


def _fills_in(page: ModuleType, form: type[BaseForm]) -> bool:
    """Whether a module of views calls a form, or one that is derived from it."""
    family = {name for name, thing in vars(page).items() if _is_of(thing, form)}
    calls = (
        node.func for node in ast.walk(ast.parse(source_of(page))) if isinstance(node, ast.Call)
    )
    named = {one.id for one in calls if isinstance(one, ast.Name)}
    return bool(named & family)


def _is_of(thing: object, form: type[BaseForm]) -> bool:
    return isinstance(thing, type) and issubclass(thing, form)


def pages() -> list[ModuleType]:
    """Return the modules that hold views."""
    return [one for one in modules() if "views" in one.__name__.split(".")]


@pytest.mark.parametrize("form", FORMS, ids=lambda form: form.__name__)
def test_a_form_writes_nothing_and_is_filled_in_on_a_page(form: type[BaseForm]) -> None:
    assert faults(form, pages()) == []


def test_a_form_that_writes_or_that_no_page_knows_is_reported() -> None:
    class Planted(BaseForm):
        """Would put every job on a day; stands in a module that writes."""

        def save(self) -> None:
            Job.objects.create()

    Planted.__module__ = "workdays.actions.backlog"
    assert faults(Planted, pages()) == [
        "Planted writes: forms clean, actions write",
        *(f"Planted has {name}, which writes" for name in known_to("workdays.actions.backlog")),
        "Planted is filled in on no page",
    ]


def known_to(module: str) -> list[str]:
    """Return the writing functions that a module has from others."""
    found = writers_it_knows(sys.modules[module])
    assert found
    return found
