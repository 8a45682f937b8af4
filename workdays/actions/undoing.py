"""Undo the last import of a cemetery: values as before, rows it made gone, what held in force."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from copy import copy
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Field, Model, ProtectedError

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.bringing_in import move_jobs
from workdays.actions.concluding import anew, chunks, take_stones_off
from workdays.actions.jobs_of_days import TakenOff
from workdays.actions.later_changes import later_changes
from workdays.actions.spreadsheets import State, locked
from workdays.actions.surveys import READ_BY_TRIAGE
from workdays.models import Conclusion, Section, SheetImport, Stone, Survey
from workdays.rules.refusals import Refusal

ROWS_AT_ONCE = 500


@transaction.atomic
def undo_import(sheet: SheetImport, *, by: Person, now: datetime) -> list[TakenOff]:
    """Undo an import; return the jobs that what holds again takes off coming days.

    Where somebody looked at a stone as the import noted it, the look is concluded from anew.
    Raises Refused, and changes nothing, for one that is not the last of its cemetery or that
    later work stands on. Jobs that the import took off days stay off.
    """
    row = locked(sheet)
    refusals = _not_the_last(row) or later_changes(row.undo)
    if refusals:
        raise Refused(refusals)
    undo = row.undo
    _put_in_force(undo["held"])
    _remove(Conclusion, undo["conclusions"])
    _remove(Survey, undo["surveys"])
    _remove(Stone, [int(pk) for pk in undo["stones"]])
    noted = _put_values_back(undo["changed"])
    _remove(Section, [int(pk) for pk in undo["sections"]])
    _note_values(undo["changed"], by)
    row.state, row.undone_at, row.undo = State.UNDONE, now, {}
    row.save(update_fields=["state", "undone_at", "undo"])
    audit.record(audit.by_login(by), "undone", row, _told(undo))
    _, gone = anew([pair for pair in noted if str(pair[1].pk) not in undo["held"]], by=by, now=now)
    known = [int(pk) for pk in undo["held"] if pk not in undo["stones"]]
    return [*gone, *take_stones_off(known, by=by, now=now)]


def _not_the_last(row: SheetImport) -> list[Refusal]:
    if row.state != State.DONE:
        return [Refusal("not-done", "This sheet is not brought in: there is nothing to undo.")]
    later = SheetImport.objects.filter(cemetery=row.cemetery_id, state=State.DONE)
    if (last := later.order_by("-done_at", "-pk").first()) and last.pk != row.pk:
        sentence = f"“{last.file_name}” was brought in after it: undo that one first."
        return [Refusal("not-last", sentence)]
    return []


def _put_in_force(held: Mapping[str, Sequence[int | None]]) -> None:
    """Let hold again what held before; where nothing did, the conclusion goes with its row."""
    before = [Stone(pk=int(pk), conclusion_id=pair[0]) for pk, pair in held.items() if pair[0]]
    Stone.objects.bulk_update(before, ["conclusion"], batch_size=ROWS_AT_ONCE)


def _remove(model: type[Model], pks: Sequence[int]) -> None:
    try:
        for some in chunks(pks, ROWS_AT_ONCE):
            model._default_manager.filter(pk__in=some).delete()
    except ProtectedError as error:
        kinds = sorted({str(one._meta.verbose_name_plural) for one in error.protected_objects})
        sentence = f"It cannot be undone: {', '.join(kinds)} stand on what it brought in."
        raise Refused([Refusal("stands", sentence)]) from None


def _put_values_back(
    changed: Mapping[str, Mapping[str, Sequence[Any]]],
) -> list[tuple[Stone, Stone]]:
    """Put back what stones were; return those that triage reads otherwise, before and after."""
    noted: list[tuple[Stone, Stone]] = []
    moved = defaultdict[int, list[int]](list)
    for some in chunks(list(changed), ROWS_AT_ONCE):
        rows = Stone.objects.in_bulk([int(pk) for pk in some])
        fields = sorted({name for pk in some for name in changed[pk]})
        for pk in some:
            row = rows[int(pk)]
            if READ_BY_TRIAGE & set(changed[pk]):
                noted.append((copy(row), row))
            for name, (before, _) in changed[pk].items():
                column = Stone._meta.get_field(name)
                assert isinstance(column, Field)  # noqa: S101  # a column of the stone itself
                setattr(row, column.attname, column.to_python(before))
            if "section" in changed[pk]:
                moved[row.section_id].append(row.pk)
        Stone.objects.bulk_update(rows.values(), fields, batch_size=ROWS_AT_ONCE)
    move_jobs(moved)
    return noted


def _note_values(changed: Mapping[str, Mapping[str, Sequence[Any]]], by: Person) -> None:
    details = [
        (Stone(pk=int(pk)), {name: [after, before] for name, (before, after) in values.items()})
        for pk, values in changed.items()
    ]
    audit.record_many(audit.by_login(by), "changed", details)


def _told(undo: Mapping[str, Any]) -> dict[str, int]:
    return {key: len(undo[key]) for key in ("sections", "stones", "surveys", "changed")}
