"""Keep a sheet, choose how it is read, bring all of it in or nothing, throw it away."""

import hashlib
import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.files.base import ContentFile
from django.db import transaction

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.bringing_in import Trace, seldom_collecting, write_rows
from workdays.actions.jobs_of_days import TakenOff
from workdays.actions.photographs import files_or_nothing
from workdays.models import Cemetery, SheetImport, Stone
from workdays.queries.ground import today_at
from workdays.queries.spreadsheets import Tried, mapping_of, remember, table_of, try_sheet
from workdays.rules.refusals import Refusal
from workdays.spreadsheets.judging import Judged, Outcome
from workdays.spreadsheets.table import NotASheetError, Table
from workdays.spreadsheets.telling import NOTHING_NEW

State = SheetImport.State
MOST_NAMED = 3
MOST_LETTERS_OF_A_NAME = 160


@dataclass(frozen=True)
class BroughtIn:
    """What an import led to: counts of rows, and the jobs that left days to come."""

    sheet: SheetImport
    counts: Mapping[str, Any]
    taken_off: list[TakenOff]


def keep_sheet(
    cemetery: Cemetery,
    octets: bytes,
    name: str,
    *,
    mapping: Mapping[str, Any],
    by: Person | None,
    table: Table | None = None,
) -> SheetImport:
    """Keep a file that can be read, to be brought in later; nothing of the ground changes.

    ``table`` is what was read of it, so that it need not be read once more.
    """
    with files_or_nothing() as files:
        row = SheetImport(
            cemetery=cemetery,
            file_name=name[:MOST_LETTERS_OF_A_NAME] or "sheet",
            sha256=hashlib.sha256(octets).hexdigest(),
            mapping=dict(mapping),
            by=by,
        )
        files.files.append(row.file)
        row.file.save(f"{uuid.uuid4().hex}{_ending(octets)}", ContentFile(octets), save=False)
        row.save(force_insert=True)
        audit.record(audit.by_person(by), "kept", row, {"sha256": row.sha256})
        if table is not None:
            remember(row, table)
        return row


def _ending(octets: bytes) -> str:
    return ".xlsx" if octets.startswith(b"PK") else ".csv"


@transaction.atomic
def choose_columns(sheet: SheetImport, mapping: Mapping[str, Any], *, by: Person) -> None:
    """Choose how the columns of a kept sheet are read."""
    row = locked(sheet)
    _refuse_done(row)
    before, row.mapping = row.mapping, dict(mapping)
    if before != row.mapping:
        row.save(update_fields=["mapping"])
        audit.record(audit.by_login(by), "changed", row, {"mapping": [before, row.mapping]})


@transaction.atomic
def discard_sheet(sheet: SheetImport, *, by: Person) -> None:
    """Throw a kept sheet away, its file too; what was brought in and not undone stays."""
    row = locked(sheet)
    _refuse_done(row)
    detail = {"file_name": row.file_name, "sha256": row.sha256}
    audit.record(audit.by_login(by), "removed", row, detail)
    row.delete()


@transaction.atomic
@seldom_collecting()
def bring_in(
    sheet: SheetImport,
    *,
    by: Person | None,
    now: datetime,
    seen: str = "",
    leave_out: bool = False,
) -> BroughtIn:
    """Bring a kept sheet in: every row or, with ``leave_out``, every row without a problem.

    ``seen`` is the fingerprint of the trial that somebody looked at: when the rows would now lead
    to something else, nothing is written. Nothing is written either, and the sheet stays as it
    is, when no row leads to anything.
    """
    row = locked(sheet)
    _refuse_done(row)
    tried = _tried(row, now)
    refusals = _refusals(tried.judged, seen=seen, leave_out=leave_out)
    if refusals:
        raise Refused(refusals)
    if not _leads_to(tried.judged):
        return BroughtIn(row, tried.judged.counts(), [])
    trace = write_rows(row.cemetery, tried.judged.verdicts, _made_sections(tried), by=by, now=now)
    _finish(row, tried, trace, by, now)
    return BroughtIn(row, row.counts, trace.taken_off)


def locked(sheet: SheetImport) -> SheetImport:
    """Return the row, locked after its cemetery and its stones: one import at a time."""
    Cemetery.objects.select_for_update().get(pk=sheet.cemetery_id)
    rows = SheetImport.objects.select_for_update(of=("self",)).select_related("cemetery")
    row = rows.filter(pk=sheet.pk).first()
    if row is None:
        raise Refused([Refusal("gone", "Somebody has thrown this sheet away meanwhile.")])
    stones = Stone.objects.select_for_update().filter(cemetery=row.cemetery_id)
    list(stones.order_by("pk").values_list("pk"))
    return row


def _refuse_done(row: SheetImport) -> None:
    if row.state == State.DONE:
        raise Refused([Refusal("done", "This sheet was brought in already.")])


def _tried(row: SheetImport, now: datetime) -> Tried:
    try:
        table = table_of(row)
    except NotASheetError as error:
        raise Refused([Refusal("not-a-sheet", str(error))]) from None
    mapping = mapping_of(row, table)
    sentences = mapping.refusals()
    if sentences:
        raise Refused([Refusal("columns", sentence) for sentence in sentences])
    return try_sheet(row.cemetery, table, mapping, today=today_at(row.cemetery, now=now))


def _refusals(judged: Judged, *, seen: str, leave_out: bool) -> list[Refusal]:
    if seen and seen != judged.fingerprint():
        sentence = "Since you looked, the rows would lead to something else: look through it again."
        return [Refusal("changed", sentence)]
    problems = judged.problems()
    if not problems or leave_out:
        return []
    named = [problem.sentence for problem in problems[:MOST_NAMED]]
    more = len(problems) - len(named)
    rest = [f"And {more:,} more."] if more else []
    sentence = " ".join(["Nothing was brought in.", *named, *rest])
    return [Refusal("problems", sentence)]


def _leads_to(judged: Judged) -> bool:
    return any(one.outcome in (Outcome.NEW, Outcome.CHANGED) for one in judged.verdicts)


def _made_sections(tried: Tried) -> list[str]:
    """Return the new sections that a row without a problem stands in."""
    used = {
        name
        for one in tried.judged.verdicts
        for name in (one.values.get("section"), one.changes.get("section", ("", ""))[1])
    }
    return [name for name in tried.judged.sections if name in used]


def _finish(
    row: SheetImport,
    tried: Tried,
    trace: Trace,
    by: Person | None,
    now: datetime,
) -> None:
    row.state, row.done_at, row.undone_at = State.DONE, now, None
    row.mapping = tried.mapping.as_json()
    row.undo = trace.as_json()
    row.counts = tried.judged.counts() | {
        "sections": len(trace.sections),
        "taken_off": [one.sentence for one in trace.taken_off],
        "notes": tried.notes,
    }
    row.by = by
    row.save()
    told = {key: value for key, value in row.counts.items() if isinstance(value, int)}
    made = {name: row.undo[name] for name in ("stones", "surveys", "conclusions")}
    audit.record(audit.by_person(by), "brought in", row, told | {"made": made})


def nothing_new(done: BroughtIn) -> str:
    """Return the sentence for an import that found everything known; "" for any other."""
    return "" if done.sheet.state == State.DONE else NOTHING_NEW
