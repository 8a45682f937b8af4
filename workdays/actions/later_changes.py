"""What came later to rows that an import made: undoing the import would lose it."""

import hashlib
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from django.db.models import ForeignObjectRel, Max, Model

from workdays.actions.changing import plain
from workdays.actions.concluding import chunks
from workdays.models import Conclusion, Job, Photograph, Section, Stone, Survey
from workdays.rules.refusals import Refusal
from workdays.spreadsheets.table import short

ROWS_AT_ONCE = 500
MOST_NAMED = 5
# Of a stone that was there before, only what came after the import stands on it.
COMING_AFTER: tuple[type[Model], ...] = (Survey, Conclusion, Job)
WORDS = {
    "survey": "a later look",
    "conclusion": "a later word on what holds",
    "job": "a job",
    "photograph": "a picture",
    "recording": "a reading",
    "familyleave": "a family",
    "loosepiece": "a loose piece",
    "fitjudgement": "a word on a loose piece",
    "stone": "another stone",
}
UNNAMED = "\uffff"
CHANGE = "a later change"
Found = dict[str, set[str]]


def marks() -> dict[str, int]:
    """Return the last row of each kind whose later rows would stand on an import."""
    return {
        model.__name__.lower(): model._default_manager.aggregate(last=Max("pk"))["last"] or 0
        for model in COMING_AFTER
    }


def prints_of(model: type[Stone] | type[Section], pks: Sequence[int]) -> dict[str, str]:
    """Return a short print of each row's own values, by its number."""
    names = [field.attname for field in model._meta.concrete_fields if field.name != "conclusion"]
    found = {}
    for some in chunks(pks, ROWS_AT_ONCE):
        rows = model._default_manager.filter(pk__in=some).values_list("pk", *names)
        for pk, *values in rows:
            found[str(pk)] = hashlib.sha256(repr(values).encode()).hexdigest()[:12]
    return found


def later_changes(undo: Mapping[str, Any]) -> list[Refusal]:
    """Return what came later to the rows of an import, in sentences that name the stones."""
    found: Found = defaultdict(set)
    made = {str(pk) for pk in undo["stones"]}
    own = _own_rows(undo)
    _related(Stone, undo["stones"], own, found)
    _related(Section, undo["sections"], own | _moved_into(undo), found)
    _changed_since(undo, found)
    _held_since(undo, found)
    _came_after([int(pk) for pk in undo["held"] if pk not in made], undo, own, found)
    return [_refusal(what, names) for what, names in sorted(found.items())]


def _own_rows(undo: Mapping[str, Any]) -> dict[type[Model], set[int]]:
    return {
        Stone: {int(pk) for pk in undo["stones"]},
        Survey: set(undo["surveys"]),
        Conclusion: set(undo["conclusions"]),
    }


def _moved_into(undo: Mapping[str, Any]) -> dict[type[Model], set[int]]:
    """Return what an import moved into the sections it made: stones, and jobs along with them."""
    moved = [int(pk) for pk, values in undo["changed"].items() if "section" in values]
    jobs: set[int] = set()
    for some in chunks(moved, ROWS_AT_ONCE):
        jobs.update(Job.objects.filter(stone__in=some).values_list("pk", flat=True))
    return {Stone: {*moved, *(int(pk) for pk in undo["stones"])}, Job: jobs}


def _related(
    model: type[Stone] | type[Section],
    pks: Iterable[Any],
    own: Mapping[type[Model], set[int]],
    found: Found,
) -> None:
    """Note rows of any kind that point at rows the import made, and that it did not make."""
    for some in chunks([int(pk) for pk in pks], ROWS_AT_ONCE):
        for relation in model._meta.related_objects:
            related = relation.related_model
            assert not isinstance(related, str)  # noqa: S101  # all models are loaded
            pointing = _pointing(relation, some)
            if at := {place for pk, place in pointing if pk not in own.get(related, ())}:
                found[_kind(related)] |= _named(model, at)


def _pointing(relation: ForeignObjectRel, pks: Sequence[int]) -> Iterable[tuple[int, int]]:
    related: Any = relation.related_model
    name = relation.field.name
    return related._default_manager.filter(**{f"{name}__in": pks}).values_list("pk", name)  # type: ignore[no-any-return]  # two numbers


def _kind(model: type[Model]) -> str:
    name = model.__name__.lower()
    return WORDS.get(name, f"a {model._meta.verbose_name}")


def _named(model: type[Stone] | type[Section], pks: Iterable[Any]) -> set[str]:
    """Return how rows are called; of many only the first, so that it stays quick."""
    some = sorted(int(pk) for pk in pks)
    rows = model._default_manager.filter(pk__in=some[:MOST_NAMED])
    named = {f"{model.__name__.lower()} {short(str(row))}" for row in rows}
    return named | {f"{UNNAMED}{pk}" for pk in some[len(named) :]}


def _changed_since(undo: Mapping[str, Any], found: Found) -> None:
    models: tuple[tuple[type[Stone] | type[Section], Any], ...] = (
        (Stone, undo["stones"]),
        (Section, undo["sections"]),
    )
    for model, prints in models:
        now = prints_of(model, [int(pk) for pk in prints])
        if differing := [pk for pk, one in prints.items() if now.get(pk) != one]:
            found[CHANGE] |= _named(model, differing)
    if differing := _differing_values(undo["changed"]):
        found[CHANGE] |= _named(Stone, differing)


def _differing_values(changed: Mapping[str, Mapping[str, Any]]) -> list[str]:
    """Return stones of which a value is no longer what the import wrote."""
    differing = []
    for some in chunks(list(changed), ROWS_AT_ONCE):
        rows = Stone.objects.in_bulk([int(pk) for pk in some])
        differing += [pk for pk in some if not _bears(rows.get(int(pk)), changed[pk])]
    return differing


def _bears(row: Stone | None, values: Mapping[str, Any]) -> bool:
    held = {name: f"{name}_id" if name == "section" else name for name in values}
    return row is not None and all(
        plain(getattr(row, held[name])) == after for name, (_, after) in values.items()
    )


def _held_since(undo: Mapping[str, Any], found: Found) -> None:
    """Note stones for which something else is in force than what the import led to."""
    for some in chunks(list(undo["held"]), ROWS_AT_ONCE):
        rows = Stone.objects.filter(pk__in=[int(pk) for pk in some])
        now = dict(rows.values_list("pk", "conclusion"))
        differing = [pk for pk in some if now.get(int(pk)) != undo["held"][pk][1]]
        if differing:
            found[WORDS["conclusion"]] |= _named(Stone, differing)


def _came_after(
    looked: Sequence[int],
    undo: Mapping[str, Any],
    own: Mapping[type[Model], set[int]],
    found: Found,
) -> None:
    """Note what came after the import at stones it looked at, and pictures of its looks."""
    for some in chunks(looked, ROWS_AT_ONCE):
        for model in COMING_AFTER:
            mark = undo["marks"][model.__name__.lower()]
            rows = model._default_manager.filter(stone__in=some, pk__gt=mark)
            later = {
                at for pk, at in rows.values_list("pk", "stone") if pk not in own.get(model, ())
            }
            if later:
                found[_kind(model)] |= _named(Stone, later)
    for some in chunks(undo["surveys"], ROWS_AT_ONCE):
        pictured = Photograph.objects.filter(survey__in=some).values_list("stone", flat=True)
        if stones := {pk for pk in pictured if pk is not None}:
            found[WORDS["photograph"]] |= _named(Stone, stones)


def _refusal(what: str, names: set[str]) -> Refusal:
    known = sorted(name for name in names if not name.startswith(UNNAMED))[:MOST_NAMED]
    more = len(names) - len(known)
    named = ", ".join(known) + (f" and {more:,} more" if more else "")
    sentence = f"It cannot be undone: {what} stands on what it brought in, at {named}."
    return Refusal("stands", sentence)
