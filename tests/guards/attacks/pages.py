"""Attempts by posting: to every address, every name that a form or a view reads."""

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from itertools import islice, product
from typing import Any

from django import forms
from django.apps import apps
from django.db import models
from django.forms import BaseForm
from django.test import Client
from django.urls import NoReverseMatch, URLPattern, URLResolver, get_resolver, reverse

from coordinator.models import User
from tests.guards.attacks.found import PACKAGES, modules, source_of
from tests.guards.attacks.named import singular, table_called
from tests.guards.attacks.question import barred_work
from tests.guards.attacks.rows import BARRED, FINE_STONE, NOW, PLANNED, numbers_of
from tests.guards.attacks.trying import undone
from workdays.models import KindOfWork

MOST_ROWS, MOST_POSTS, MOST_TRIED, MOST_MISSED = 2, 6, 60, 6
FIRST_TRIED = ("Stone", "Job", "Workday", "Cemetery", "CrewPlan", "KindOfWork")
READ = re.compile(r"""POST(?:\.get|\.getlist)?[\[(]["'](\w+)["']""")
TAG = re.compile(r"<(?:input|button|textarea)\b[^>]*>")
SELECT = re.compile(r'<select\b[^>]*\bname="([^"]*)"[^>]*>(.*?)</select>', re.S)
NAME, VALUE = re.compile(r'\bname="([^"]*)"'), re.compile(r'\bvalue="([^"]*)"')
# Fields whose name holds one of these decide what is touched: they are varied first.
DECIDES = ("stone", "job", "kind", "signs", "state", "touches")
# What bars a stone, or wakes a job, comes before what else can be chosen.
WORST = ("leave_alone", "sugaring", "open", "stands")
# What is typed rather than chosen: the number on a stone, a name, a day.
TYPED: dict[str, list[str]] = {
    "stone": ["N1", "N2"],
    "number": ["N77"],
    "state": ["open", "dropped"],
    "reason": ["The owner wrote that it may be so from this spring on."],
    "source": ["words"],
}


@dataclass
class Posted:
    """What came of posting to one address."""

    name: str
    done: int = 0
    answers: list[int] = field(default_factory=list)
    holes: list[str] = field(default_factory=list)
    crashes: list[str] = field(default_factory=list)


def patterns(
    found: Iterable[URLPattern | URLResolver] | None = None,
) -> Iterator[URLPattern]:
    """Give every address that the product answers at."""
    for pattern in get_resolver().url_patterns if found is None else found:
        if isinstance(pattern, URLResolver):
            yield from patterns(pattern.url_patterns)
        else:
            yield pattern


def attack(pattern: URLPattern, user: User) -> Posted:
    """Post to an address for its most dangerous rows, logged in anew: one address logs out."""
    report, client, rows, missed = Posted(str(pattern.name)), Client(), 0, 0
    client.force_login(user)
    for path in _paths(pattern, client):
        before = len(report.answers)
        for data in islice(_data(client, path), MOST_POSTS):
            _post(client, path, data, report)
            if report.answers[before:] in ([404], [405]):
                break  # no such row, or nothing to post to
        missed += report.answers[before:] == [404]
        rows += report.answers[before:] != [404]
        if rows == MOST_ROWS or missed == MOST_MISSED:
            break
    return report


def _post(client: Client, path: str, data: dict[str, Any], report: Posted) -> None:
    with undone():
        try:
            answer = client.post(path, data)
            report.answers.append(answer.status_code)
            report.done += answer.status_code in (302, 303) and "log-in" not in answer["Location"]
        except Exception as error:  # noqa: BLE001  # a page that breaks is told of by name
            report.crashes.append(f"{type(error).__name__}: {error} at {path} by {data}")
            return
        report.holes += [f"{hole}\n    by {path} with {data}" for hole in barred_work(NOW)]


def _paths(pattern: URLPattern, client: Client) -> Iterator[str]:
    """Give the addresses of rows that are there, the most dangerous first; else of none."""
    converters = pattern.pattern.converters
    address, route = str(pattern.name), str(pattern.pattern)
    pools = [_pool(name, kind, address, route) for name, kind in converters.items()]
    unseen = ""
    for values in islice(product(*pools), MOST_TRIED):
        try:
            path = reverse(str(pattern.name), kwargs=dict(zip(converters, values, strict=True)))
        except NoReverseMatch:
            continue
        with undone():
            is_there = client.get(path).status_code not in (404, 410)
        if is_there:
            yield path
        unseen = "" if is_there else unseen or path
    if unseen:
        yield unseen


def _pool(name: str, converter: Any, address: str, route: str) -> list[Any]:
    """Return what a part of an address can be: numbers of rows, or words that name them.

    What stands before it in the address says best whose: ``stones/<int:pk>/``.
    """
    before = route.partition(f":{name}>")[0].split("/")[:-1]
    words = [*map(singular, before[::-1]), name, *address.split("_")]
    tables = [table for word in words if (table := table_called(word))]
    tables += [one for one in apps.get_models() if one.__name__ in FIRST_TRIED]
    tables += [one for one in apps.get_models() if one._meta.app_label in PACKAGES]
    ordered = list(dict.fromkeys(tables))
    if type(converter).__name__ == "IntConverter":
        return [pk for table in ordered for pk in numbers_of(table)[:MOST_ROWS]]
    return [
        value
        for table in ordered
        for column in table._meta.concrete_fields
        if isinstance(column, models.CharField) and column.name in ("slug", "key", "secret")
        for value in table._default_manager.values_list(column.name, flat=True)[:3]
        if value
    ] + ["nobody"]


def form_fields(client: Client, path: str) -> dict[str, list[Any]]:
    """Return each field of the forms of a page, with values that it could be sent with."""
    page = client.get(path)
    found = _written(page)
    return found | {
        name: values for form in forms_of(page) for name, values in _filled(form).items()
    }


def _data(client: Client, path: str) -> Iterator[dict[str, Any]]:
    """Give what to post: the page's own form as it stands, then each field turned dangerous."""
    with undone():
        page = client.get(path)
    known = universal()
    base = {name: values[0] for name, values in known.items()}
    own = _written(page)
    own |= {name: values for form in forms_of(page) for name, values in _filled(form).items()}
    base |= {name: values[0] for name, values in own.items()}
    yield {name: value for name, value in base.items() if value is not None}
    varied = own if own else {**known, **own}
    dangerous = sorted(varied.items(), key=lambda item: not any(w in item[0] for w in DECIDES))
    for name, values in dangerous:
        for value in values[1:4]:
            yield {k: v for k, v in {**base, name: value}.items() if v is not None}


def forms_of(page: Any) -> Iterator[BaseForm]:
    """Give the forms that a page was made with, each once: every part of a page knows them all."""
    seen = set()
    for context in getattr(page, "context", None) or ():
        for flat in context.dicts if hasattr(context, "dicts") else (context,):
            for value in flat.values():
                if isinstance(value, BaseForm) and id(value) not in seen:
                    seen.add(id(value))
                    yield value


def _filled(form: BaseForm) -> dict[str, list[Any]]:
    found = {}
    for name in form.fields:
        stands = form[name].value()
        values = _values(name, form.fields[name])
        shown = [form[name].field.prepare_value(stands)] if stands not in (None, "", []) else []
        if not shown and not form.fields[name].required and name not in TYPED:
            values = [None, *values]  # what may be left out is left out at first
        found[form.add_prefix(name)] = [*map(_plain, shown), *values] or [None]
    return found


def _written(page: Any) -> dict[str, list[Any]]:
    """Return the fields that a page holds in its text, with the values they offer."""
    found: dict[str, list[Any]] = {}
    text = page.content.decode(errors="replace") if not page.streaming else ""
    for tag in TAG.findall(text):
        name, value = NAME.search(tag), VALUE.search(tag)
        if name and name[1] != "next":
            found.setdefault(name[1], []).append(value[1] if value else "30")
    for name, inside in SELECT.findall(text):
        found[name] = [value for value in VALUE.findall(inside) if value] or [None]
    return found


def _plain(value: Any) -> Any:
    if isinstance(value, list | tuple | set):
        return [_plain(one) for one in value]
    return getattr(value, "pk", value) if not hasattr(value, "isoformat") else value.isoformat()


@cache
def universal() -> dict[str, list[Any]]:
    """Return every name that a form or a view of the product reads, with dangerous values."""
    found: dict[str, list[Any]] = {}
    for cls in form_classes():
        for name, one in getattr(cls, "base_fields", {}).items():
            found.setdefault(name, _values(name, one) or [None])
    for module in modules():
        for name in READ.findall(source_of(module)):
            found.setdefault(name, [BARRED, FINE_STONE, "words"])
    return found


def form_classes() -> Iterator[type[BaseForm]]:
    """Give every form class of the product."""
    for module in modules():
        for thing in vars(module).values():
            own = isinstance(thing, type) and thing.__module__ == module.__name__
            if own and issubclass(thing, BaseForm):
                yield thing


def _values(name: str, one: forms.Field) -> list[Any]:
    """Return what a field can be given: chosen, typed or ticked."""
    if name in TYPED:
        return list(TYPED[name])
    queryset = getattr(one, "queryset", None)
    if queryset is not None:
        if queryset.model is KindOfWork:
            queryset = queryset.order_by("-touches", "pk")
        pks = list(queryset.values_list("pk", flat=True)[:50])
        first = [pk for pk in (BARRED, PLANNED) if pk in pks or not pks]
        return [*first, *pks[:3]]
    choices = [value for value, _ in getattr(one, "choices", ()) if value not in ("", None)]
    if choices:
        return sorted(choices, key=lambda value: value not in WORST)[:5]
    by_type: list[tuple[type[forms.Field], list[Any]]] = [
        (forms.BooleanField, ["on"]),
        (forms.DateTimeField, ["2026-05-08 18:00"]),
        (forms.DateField, ["2026-05-16", "2026-05-05"]),
        (forms.TimeField, ["09:00"]),
        (forms.IntegerField, [30, 2]),
        (forms.EmailField, ["somebody@volunteers.example"]),
        (forms.FileField, []),
    ]
    for kind, values in by_type:
        if isinstance(one, kind):
            return values
    return ["words"]
