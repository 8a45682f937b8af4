"""Attempts at one function: planned from its annotations, carried out, undone, judged."""

import contextlib
import inspect
import itertools
import re
import typing
from collections.abc import Iterator
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import datetime
from typing import Any

import time_machine
from django.core.exceptions import ObjectDoesNotExist, PermissionDenied, ValidationError
from django.db import DatabaseError, connection, models, transaction
from django.http import Http404

from coordinator import sweeping
from tests.guards.attacks.arguments import anything, choices, hints_of, made_of
from tests.guards.attacks.columns import (
    Choice,
    Row,
    decides,
    fresh_for,
    of_field,
    plain,
    rows,
    writable,
)
from tests.guards.attacks.found import PACKAGES, Found
from tests.guards.attacks.named import DANGEROUS, kept_as, simple, table_called
from tests.guards.attacks.question import barred_work
from tests.guards.attacks.rows import NOW

# How an answer may sound; errors that the product itself names are answers too.
ANSWERS = (ValidationError, ObjectDoesNotExist, PermissionDenied, Http404, DatabaseError)
MOST_ROWS, MOST_WORDS = 7, 1
MOST = 20  # attempts at one function
MOST_AT_DANGER, MOST_A_ROW = 150, 13  # where columns of a dangerous table are written
COMPLAINTS = 4
Arguments = dict[str, Choice]


@dataclass
class Report:
    """What came of the attempts at one thing."""

    done: int = 0
    refused: int = 0
    crashes: list[str] = field(default_factory=list)
    holes: list[str] = field(default_factory=list)


class Undo(Exception):  # noqa: N818  # ends an attempt; nothing went wrong
    """Takes back what an attempt did."""


@contextlib.contextmanager
def undone() -> Iterator[None]:
    """Take back whatever is done inside: in the database, and in the lists of what sweeps call."""
    lists: tuple[list[Any], ...] = (sweeping.SWEEPERS, sweeping.ERRANDS)
    before = [one.copy() for one in lists]
    try:
        with contextlib.suppress(Undo), transaction.atomic():
            yield
            raise Undo
    finally:
        for one, held in zip(lists, before, strict=True):
            one[:] = held


def is_answer(error: Exception) -> bool:
    """Whether an error is the product's way to say no."""
    return isinstance(error, ANSWERS) or type(error).__module__.split(".")[0] in PACKAGES


def try_once(found: Found, arguments: Arguments, report: Report, now: datetime = NOW) -> None:
    """Make one attempt, ask the question, take everything back."""
    words = ", ".join(f"{name}={one.words}" for name, one in arguments.items())
    with undone(), time_machine.travel(now, tick=False):
        try:
            _call_patiently(found, {name: one.make() for name, one in arguments.items()})
            report.done += 1
        except Exception as error:  # noqa: BLE001  # sorted here into answers and crashes
            if is_answer(error):
                report.refused += 1
            else:
                report.crashes.append(f"{type(error).__name__}: {error} by {words[:600]}")
        if connection.needs_rollback:
            return  # the database has refused, and takes back all of it
        report.holes += [f"{hole}\n    by {found.name}({words})" for hole in barred_work(now)]


def _call_patiently(found: Found, made: dict[str, Any]) -> None:
    """Call it; where it complains of a word too many or missing, mend that and call it again."""
    for _ in range(COMPLAINTS):
        try:
            with transaction.atomic():
                return _call(found, made)
        except (TypeError, KeyError) as error:
            if not _mended(str(error), made, isinstance(error, KeyError)):
                raise
    return _call(found, made)


def _mended(complaint: str, made: dict[str, Any], is_key: bool) -> bool:
    """Do what a complaint asks for: drop a value given twice, add one that is missing."""
    names = re.findall(r"'(\w+)'", complaint)
    mappings = [value for value in made.values() if isinstance(value, dict)]
    if "multiple values" in complaint:
        return any(one.pop(names[-1], one) is not one for one in mappings)
    if "missing" in complaint:
        made |= {name: simple(str, name)[0].make() for name in names}
        return bool(names)
    for one in mappings if is_key and names else ():
        one.setdefault(names[0], [])
    return bool(is_key and names and mappings)


def _call(found: Found, made: dict[str, Any]) -> None:
    """Call it; what gives things one by one, or opens something, is run to its end."""
    if found.owner is not None:
        made = dict(made)
        given = found.call(made.pop("self"), **made)
    else:
        given = found.call(**made)
    if isinstance(given, contextlib.AbstractContextManager):
        with given:
            pass
    elif inspect.isgenerator(given):
        list(given)


def planned(found: Found, now: datetime = NOW) -> Iterator[Arguments]:
    """Give the attempts: the most dangerous of everything, then each parameter varied."""
    table = _table_of_values(found, dict(hints_of(found.call)))
    if table is models.Model or (table is not None and table.__name__ in DANGEROUS):
        most, each = MOST_AT_DANGER, MOST_A_ROW
    else:
        most, each = MOST, MOST // 2
    turns = (itertools.islice(ways, each) for ways in _ways_to_begin(found, now))
    return itertools.islice(itertools.chain.from_iterable(turns), most)


def _ways_to_begin(found: Found, now: datetime) -> Iterator[Iterator[Arguments]]:
    hints = dict(hints_of(found.call))
    known = {
        name: [plain(now)] if name == "now" else choices(hint, name)
        for name, hint in hints.items()
        if not _is_values(hint)
    }
    if found.owner is not None:
        known["self"] = made_of(found.owner)
    table = _table_of_values(found, hints)
    for arguments in _varied(known):
        yield _with_values(arguments, found, hints, table)


def _varied(known: dict[str, list[Choice]]) -> Iterator[Arguments]:
    base = {name: found[0] for name, found in known.items()}
    yield base
    for name, found in known.items():
        for other in found[1:]:
            yield {**base, name: other}


def _is_values(hint: Any) -> bool:
    origin, inside = typing.get_origin(hint), typing.get_args(hint)
    return isinstance(origin, type) and issubclass(origin, typing.Mapping) and inside[1:] == (Any,)


def _table_of_values(found: Found, hints: dict[str, Any]) -> type[models.Model] | None:
    """Return whose columns the values are: of what the function makes, or of what it is given."""
    back = typing.get_type_hints(found.call).get("return")
    if is_dataclass(back):
        kept = typing.get_type_hints(back)
        back = next((kept[one.name] for one in fields(back) if _is_table(kept[one.name])), None)
    if _is_table(back):
        return typing.cast(type[models.Model], back)
    given = next((hint for hint in hints.values() if _is_table(hint)), None)
    return given or next(filter(None, map(table_called, found.name.split("_"))), None)


def _is_table(hint: Any) -> bool:
    return isinstance(hint, type) and issubclass(hint, models.Model)


def _with_values(
    arguments: Arguments, found: Found, hints: dict[str, Any], table: type[models.Model] | None
) -> Iterator[Arguments]:
    names = [name for name, hint in hints.items() if _is_values(hint)]
    if not names:
        yield arguments
        return
    if table is None or kept_as(names[0], dict):
        for other in kept_as(names[0], dict) or anything():
            yield {**arguments, **dict.fromkeys(names, other)}
        return
    for values in values_of(table, arguments, skip=set(hints)):
        yield {**arguments, **dict.fromkeys(names, values)}


def values_of(table: type[models.Model], arguments: Arguments, skip: set[str]) -> Iterator[Choice]:
    """Give values for the columns of a table: as they are in a row, then one after another varied.

    The row is the one at hand; for a new row the most dangerous of its table.
    """
    own = next((one for one in arguments.values() if _is_row(one, table)), None)
    table = type(own.make()) if own else table
    columns = [one for one in writable(table) if one.name not in skip]
    row = own or rows(table)[0]
    base = {} if own else {f.name: new for f in columns if (new := fresh_for(f))}
    is_first = own is None or own.words == rows(table)[0].words
    yield _values(row, columns, base)
    for one in sorted(columns, key=_danger, reverse=True):
        if decides(one) or is_first:
            for other in of_field(one)[: MOST_ROWS if decides(one) else MOST_WORDS]:
                yield _values(row, columns, {**base, one.name: other})


def _danger(column: Any) -> int:
    """Return how much hangs on a column: it names a dangerous row, it decides, it only tells."""
    to = column.related_model
    if to is not None:
        return 3 if to.__name__ in DANGEROUS else 1
    return 2 if decides(column) else 0


def _is_row(choice: Choice, table: type[models.Model]) -> bool:
    named = choice.words.split(" ")[0]
    return named == table.__name__ or (table is models.Model and isinstance(choice, Row))


def _values(row: Choice, columns: list[Any], varied: Arguments) -> Choice:
    def make() -> dict[str, Any]:
        as_it_is = row.make()
        return {
            field.name: varied[field.name].make()
            if field.name in varied
            else getattr(as_it_is, field.name)
            for field in columns
        }

    said = ", ".join(f"{name}: {one.words}" for name, one in varied.items())
    return Choice(f"of {row.words} with {{{said}}}", make)
