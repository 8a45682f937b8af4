"""What there is to attempt: functions that can write, found by looking at the product."""

import ast
import importlib
import inspect
import pkgutil
import textwrap
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import ModuleType
from typing import Any

from celery import Task
from django.apps import apps
from django.db.models import Model, QuerySet

PACKAGES = ("coordinator", "training", "workdays")
# Attempted in their own way: pages by posting, forms by filling, commands by running.
OTHERWISE = ("views", "urls", "forms", "management", "migrations")
WRITES = frozenset(
    {
        *("save", "save_base", "create", "bulk_create", "get_or_create", "update_or_create"),
        *("bulk_update", "delete", "execute", "executemany"),
    }
)
# Sets and dicts know these too: they count on rows, and on what a relation of rows is called.
LIKE_SETS = frozenset({"update", "add", "set", "remove", "clear"})


@dataclass(frozen=True)
class Found:
    """A function of the product by its name; ``owner`` is the class of a method."""

    name: str
    call: Callable[..., Any]
    module: ModuleType
    owner: type | None = None


def modules() -> Iterator[ModuleType]:
    """Give every module of the product."""
    for package in PACKAGES:
        root = importlib.import_module(package)
        yield root
        for found in pkgutil.walk_packages(root.__path__, f"{package}."):
            if "migrations" not in found.name.split("."):
                yield importlib.import_module(found.name)


def writers() -> list[Found]:
    """Return every public function, task and method of modules that write or call those."""
    every = [one for one in modules() if not set(one.__name__.split(".")) & set(OTHERWISE)]
    trees = {one.__name__: _tree(one) for one in every}
    writing = {name for name, tree in trees.items() if _is_writer(name, tree)}
    doors = {name for name in writing if "models" not in name.split(".")}
    calling = {name for name, tree in trees.items() if _imported(tree) & doors}
    return [
        found
        for module in every
        if module.__name__ in writing | calling
        for found in functions_of(module)
    ]


def writes_itself(module: ModuleType) -> bool:
    """Whether a module reaches tables and calls what may write to them."""
    return _is_writer(module.__name__, _tree(module))


def writers_it_knows(module: ModuleType) -> list[str]:
    """Return the functions that a module has from one that writes; classes and words are none."""
    return [
        name
        for name, thing in vars(module).items()
        if inspect.isroutine(thing)
        and (source := inspect.getmodule(thing)) is not None
        and source is not module
        and source.__name__.split(".")[0] in PACKAGES
        and ("actions" in source.__name__.split(".") or _routine_writes(thing))
    ]


def _routine_writes(thing: Any) -> bool:
    tree = ast.parse(textwrap.dedent(inspect.getsource(thing)))
    return any(_writes(node, reads=False) for node in ast.walk(tree))


def functions_of(module: ModuleType) -> Iterator[Found]:
    """Give the public functions, tasks and methods that a module defines itself."""
    for name, thing in vars(module).items():
        if name.startswith("_"):
            continue
        if isinstance(thing, Task):
            thing = thing.run
        if getattr(thing, "__module__", "") != module.__name__:
            continue
        if inspect.isroutine(thing):
            yield Found(f"{module.__name__}.{name}", thing, module)
        elif inspect.isclass(thing):
            yield from _methods(thing, module)


def _methods(owner: type, module: ModuleType) -> Iterator[Found]:
    # What only narrows a method that each model or query set has is no way in of its own.
    rows = issubclass(owner, (Model, QuerySet))
    for name, thing in vars(owner).items():
        narrows = rows and (hasattr(Model, name) or hasattr(QuerySet, name))
        if inspect.isfunction(thing) and not name.startswith("_") and not narrows:
            yield Found(f"{module.__name__}.{owner.__name__}.{name}", thing, module, owner)


def source_of(module: ModuleType) -> str:
    """Return the text of a module."""
    assert module.__file__ is not None
    return Path(module.__file__).read_text()


def _tree(module: ModuleType) -> ast.Module:
    return ast.parse(source_of(module))


def _is_writer(name: str, tree: ast.Module) -> bool:
    """Whether a module is an action, or reaches tables and calls what may write to them."""
    if "actions" in name.split("."):
        return True
    named = _imported(tree)
    reaches = any(one.startswith("django.db") or ".models" in one for one in named)
    # What reads keeps sets of its own, and may call nothing that writes: `make lint` holds it to.
    reads = "queries" in name.split(".")
    return reaches and any(_writes(node, reads=reads) for node in ast.walk(tree))


def _writes(node: ast.AST, *, reads: bool) -> bool:
    if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
        return False
    names = {node.func.attr, node.func.attr.removeprefix("a")}
    return bool(names & WRITES) or (
        not reads and bool(names & LIKE_SETS) and _of_rows(node.func.value)
    )


def _of_rows(thing: ast.expr) -> bool:
    """Whether an expression reads as rows: ``Job.objects``, ``jobs.filter()``, ``day.jobs``."""
    parts = {one.attr for one in ast.walk(thing) if isinstance(one, ast.Attribute)}
    last = thing.attr if isinstance(thing, ast.Attribute) else ""
    return bool(parts & {"objects", "filter", "exclude", "all", "order_by"}) or last in relations()


@cache
def relations() -> frozenset[str]:
    """Return what relations that hold many rows are called, from either side."""
    fields = (field for model in apps.get_models() for field in model._meta.get_fields())
    many = [field for field in fields if field.many_to_many or field.one_to_many]
    return frozenset(str(getattr(one, "related_name", None) or one.name) for one in many)


def _imported(tree: ast.Module) -> set[str]:
    """Return the names of modules that a module imports, both ``a.b`` and ``a.b.c`` of a name."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return found
