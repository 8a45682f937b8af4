"""Arguments for any function, made from the type annotations of its parameters."""

import collections.abc
import dataclasses
import enum
import inspect
import random
import types
import typing
from collections.abc import Callable, Iterator
from datetime import date, time, timedelta
from decimal import Decimal
from fractions import Fraction
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from django.apps import AppConfig, apps
from django.db.models import Model, QuerySet
from django.db.models.manager import BaseManager
from django.http import HttpRequest

from tests.guards.attacks import named, special
from tests.guards.attacks.columns import Choice, plain, row, rows
from tests.guards.attacks.found import PACKAGES
from tests.guards.attacks.rows import numbers_of

DEEPEST = 8
MOST_OF_A_CLASS = 16
LISTS = (list, set, frozenset, collections.abc.Sequence, collections.abc.Iterable,
         collections.abc.Collection, collections.abc.Set, collections.abc.Iterator)  # fmt: skip
BY_TYPE: dict[Any, list[Choice]] = {
    bool: [plain(True), plain(False)],
    float: [plain(1.0), plain(30.0)],
    bytes: [plain(b"words")],
    Decimal: [plain(Decimal(1))],
    time: [plain(time(9)), plain(time(15))],
    timedelta: [plain(timedelta(days=7)), plain(timedelta(0))],
    UUID: [plain(UUID(int=1))],
    Fraction: [plain(Fraction(15)), plain(Fraction(-5, 9))],
    ZoneInfo: [plain(ZoneInfo("America/Detroit"))],
    random.Random: [Choice("Random(1)", lambda: random.Random(1))],
    type(None): [plain(None)],
}

UNSAID = {"request": HttpRequest}  # what libraries leave without an annotation


class NoProvider(Exception):  # noqa: N818  # says what is missing, in a sentence
    """Nothing is known that fits an annotation."""


def choices(hint: Any, name: str, depth: int = 0) -> list[Choice]:
    """Return what a parameter of this annotation and name can be given, most dangerous first."""
    origin, inside = typing.get_origin(hint), typing.get_args(hint)
    made = special.MADE.get(hint) or special.MADE.get(origin)
    if made is not None:
        return made()
    if hint in BY_TYPE:
        return BY_TYPE[hint]
    if hint in (Any, object) or isinstance(hint, typing.TypeVar):
        return [*_a_row_of_each(), plain("words"), plain(None)]
    if origin in LISTS or hint in LISTS:
        return _lists(origin or hint, inside, name, depth)
    if origin is not None:
        return _of_form(origin, inside, name, depth)
    if isinstance(hint, type):
        return _of_class(hint, name, depth)
    raise NoProvider(f"{name}: {hint} is not known; give it a provider in special.py.")


def _of_form(origin: Any, inside: tuple[Any, ...], name: str, depth: int) -> list[Choice]:
    """Return what fits an annotation of this form: a union, a mapping, a call back ..."""
    if origin in (typing.Union, types.UnionType):
        found = [one for part in inside for one in choices(part, name, depth + 1)]
        return sorted(found, key=lambda one: one.words == "None")
    forms: dict[Any, Callable[[], list[Choice]]] = {
        typing.Literal: lambda: [plain(value) for value in inside],
        type: lambda: [plain(inside[0])],
        tuple: lambda: _tuples(inside, name, depth),
        dict: lambda: _mappings(inside, name, depth),
        collections.abc.Mapping: lambda: _mappings(inside, name, depth),
        collections.abc.MutableMapping: lambda: _mappings(inside, name, depth),
        collections.abc.Callable: lambda: [
            Choice("judging a look meanwhile", special.meanwhile),
            plain(_nothing),
        ],
        QuerySet: lambda: _querysets(inside[0]),
    }
    if origin not in forms:
        raise NoProvider(f"{name}: {origin} is not known; give it a provider in special.py.")
    return forms[origin]()


def _of_class(hint: type, name: str, depth: int) -> list[Choice]:
    if depth > DEEPEST:
        raise NoProvider(f"{name}: {hint} holds itself; give it a provider in special.py.")
    if hint is Model:
        return _a_row_of_each()
    if hint is QuerySet:
        return [one for model in _tables() for one in _querysets(model)]
    if issubclass(hint, Model):
        return rows(hint)
    if issubclass(hint, enum.Enum):
        return [plain(member) for member in hint]
    if issubclass(hint, str | int | date):
        return named.simple(hint, name)
    return made_of(hint, depth)


def made_of(owner: type, depth: int = 0) -> list[Choice]:
    """Return objects of a class: the most dangerous of everything, then one thing varied each."""
    if issubclass(owner, BaseManager):
        managers = [model._default_manager for model in apps.get_models()]
        return [plain(one) for one in managers if isinstance(one, owner)]
    if issubclass(owner, AppConfig):
        return [plain(one) for one in apps.get_app_configs() if isinstance(one, owner)]
    parts = {name: choices(hint, name, depth + 1) for name, hint in hints_of(owner)}
    if not parts and not _is_plain(owner):
        raise NoProvider(f"{owner} says nothing of its parts; give it a provider in special.py.")
    base = {name: found[0] for name, found in parts.items()}
    variants = [{**base, name: other} for name, found in parts.items() for other in found[1:]]
    return [_object(owner, one) for one in [base, *variants][:MOST_OF_A_CLASS]]


def _is_plain(owner: type) -> bool:
    return vars(owner).get("__init__") is None or dataclasses.is_dataclass(owner)


def _object(owner: type, parts: dict[str, Choice]) -> Choice:
    words = ", ".join(f"{name}={part.words}" for name, part in parts.items())
    return Choice(
        f"{owner.__name__}({words})",
        lambda: owner(**{name: part.make() for name, part in parts.items()}),
    )


def hints_of(call: Callable[..., Any]) -> Iterator[tuple[str, Any]]:
    """Give the parameters of a function, or what a dataclass is made from, with annotations."""
    signature = inspect.signature(call)
    hints = _resolved(call)
    for name, parameter in signature.parameters.items():
        if parameter.kind in (parameter.VAR_POSITIONAL, parameter.VAR_KEYWORD) or name == "self":
            continue
        if name not in hints and name in UNSAID:
            yield name, UNSAID[name]
            continue
        if name not in hints:
            raise NoProvider(f"{name} has no annotation; give it one.")
        written = parameter.annotation
        yield name, _with_its_rows(written, hints[name], call)


def _resolved(call: Any) -> dict[str, Any]:
    if inspect.isclass(call) and not dataclasses.is_dataclass(call):
        call = vars(call).get("__init__", call)
    try:
        return typing.get_type_hints(call)
    except (NameError, TypeError):
        space = vars(inspect.getmodule(call)) | {model.__name__: model for model in _tables()}
        known = getattr(call, "__annotations__", {})
        return {
            name: eval(hint, space) if isinstance(hint, str) else hint  # noqa: S307  # our own
            for name, hint in known.items()
            if name != "return"
        }


def _with_its_rows(written: Any, hint: Any, call: Any) -> Any:
    """Return ``QuerySet[Job]`` where that was written in quotes: at run time it forgets the Job."""
    if hint is not QuerySet or not isinstance(written, str) or "[" not in written:
        return hint
    inside = written.partition("[")[2].rstrip("]").split(",")[0].strip()
    model = vars(inspect.getmodule(call)).get(inside)
    return types.GenericAlias(QuerySet, (model,)) if model else hint


def _lists(origin: Any, inside: tuple[Any, ...], name: str, depth: int) -> list[Choice]:
    single = named.singular(name)
    if inside == (str,):
        known = named.kept_as(name, list)
        if known:
            return known
    found = choices(inside[0] if inside else Any, single, depth + 1)
    build = origin if origin in (set, frozenset) else list
    every = Choice("all of them", lambda: build(one.make() for one in found))
    ones = [
        Choice(f"[{one.words}]", lambda one=one: build([one.make()]))  # type: ignore[misc]
        for one in found
    ]
    return [ones[0], every, plain(build()), *ones[1:]]


def _tuples(inside: tuple[Any, ...], name: str, depth: int) -> list[Choice]:
    if len(inside) == 2 and inside[1] is Ellipsis:
        return [
            Choice(one.words, lambda one=one: tuple(one.make()))  # type: ignore[misc]
            for one in _lists(list, inside[:1], name, depth)
        ]
    parts = [choices(part, named.singular(name), depth + 1) for part in inside]
    longest = min(max(len(found) for found in parts), MOST_OF_A_CLASS)
    return [_tuple([found[n % len(found)] for found in parts]) for n in range(longest)]


def _tuple(parts: list[Choice]) -> Choice:
    words = ", ".join(part.words for part in parts)
    return Choice(f"({words})", lambda: tuple(part.make() for part in parts))


def _mappings(inside: tuple[Any, ...], name: str, depth: int) -> list[Choice]:
    if not inside or inside[1] is Any:
        return named.kept_as(name, dict) or anything()
    keys = choices(inside[0], named.singular(name), depth + 1)
    values = choices(inside[1], named.singular(name), depth + 1)
    full = Choice("of all", lambda: {k.make(): values[0].make() for k in keys})
    return [full, plain({})]


def _querysets(model: type[Model]) -> list[Choice]:
    every = Choice(f"all {model.__name__}", lambda: model._default_manager.all())
    return [
        every,
        *(_only(model, pk) for pk in numbers_of(model)),
        Choice(f"no {model.__name__}", lambda: model._default_manager.none()),
    ]


def _only(model: type[Model], pk: Any) -> Choice:
    return Choice(f"only {model.__name__} {pk}", lambda: model._default_manager.filter(pk=pk))


def _tables() -> list[type[Model]]:
    return [model for model in apps.get_models() if model._meta.app_label in PACKAGES]


def _a_row_of_each() -> list[Choice]:
    """Return the dangerous rows of each table, those of days and jobs first."""
    tables = sorted(_tables(), key=lambda model: model.__name__ not in named.DANGEROUS)
    return [row(model, pk) for model in tables for pk in numbers_of(model)[:4]]


def anything() -> list[Choice]:
    """Return mappings for somebody who asks for a mapping of anything: rows under their names."""
    known = {model.__name__.lower(): rows(model)[0] for model in _tables() if rows(model)}
    known |= {name: rows(model)[0] for name, model in named.CALLED.items()}
    full = Choice("rows by name", lambda: {name: one.make() for name, one in known.items()})
    return [full, plain({})]


def _nothing(*args: Any, **kwargs: Any) -> None:
    """Answer a call."""
