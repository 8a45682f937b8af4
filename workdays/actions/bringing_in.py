"""Write what judged rows lead to: sections, stones, changes and looks, in bulk, noted for undoing.

Called inside the transaction of the import; the stones of the cemetery are locked.
"""

import gc
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from copy import copy
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from django.db import IntegrityError, transaction
from django.db.models import Max

from coordinator import audit
from coordinator.models import Person
from coordinator.refused import Refused
from workdays.actions.changing import plain
from workdays.actions.concluding import Concluded, anew, chunks, conclude
from workdays.actions.jobs_of_days import TakenOff
from workdays.actions.later_changes import marks, prints_of
from workdays.actions.surveys import READ_BY_TRIAGE
from workdays.models import Cemetery, Job, Section, Stone, Survey
from workdays.rules.refusals import Refusal
from workdays.spreadsheets.fields import SURVEY_COLUMNS
from workdays.spreadsheets.judging import Outcome, Verdict

ROWS_AT_ONCE = 500
MEANWHILE = Refusal(
    "meanwhile", "Somebody else added one of these stones or sections just now: look again."
)


@dataclass
class Trace:
    """What an import did, as its row keeps it for undoing; numbers of rows, and values.

    Sections and stones it made, looks and conclusions; ``changed`` is [before, after] by field,
    by stone; ``held`` the conclusion in force [before, after], by stone. ``taken_off`` is told,
    not kept.
    """

    sections: list[int] = field(default_factory=list)
    stones: list[int] = field(default_factory=list)
    surveys: list[int] = field(default_factory=list)
    conclusions: list[int] = field(default_factory=list)
    changed: dict[str, dict[str, list[Any]]] = field(default_factory=dict)
    held: dict[str, list[int | None]] = field(default_factory=dict)
    taken_off: list[TakenOff] = field(default_factory=list)

    def as_json(self) -> dict[str, Any]:
        """Return it as a JSON column keeps it, with prints that show a later change."""
        made = {
            "sections": prints_of(Section, self.sections),
            "stones": prints_of(Stone, self.stones),
        }
        kept = {name: value for name, value in vars(self).items() if name != "taken_off"}
        return kept | made | {"marks": marks()}


@contextmanager
def seldom_collecting() -> Iterator[None]:
    """Let the collector of garbage look seldom while tens of thousands of rows live.

    Looking over all of them again and again took a sixth of the time of an import. Once in a
    hundred thousand new objects it still looks, so that memory stays as it was.
    """
    before = gc.get_threshold()
    gc.set_threshold(100_000, 20, 50)
    try:
        yield
    finally:
        gc.set_threshold(*before)


@transaction.atomic
def write_rows(
    cemetery: Cemetery,
    verdicts: Sequence[Verdict],
    names: Sequence[str],
    *,
    by: Person | None,
    now: datetime,
) -> Trace:
    """Write what the rows lead to and return the trace; ``names`` are sections to be made."""
    trace = Trace()
    sections = _sections(cemetery, names, trace, by)
    work = [one for one in verdicts if one.outcome in (Outcome.NEW, Outcome.CHANGED)]
    stones: dict[int, Stone] = {}
    before: dict[int, Stone] = {}
    for some in chunks(work, ROWS_AT_ONCE):
        stones |= _add(cemetery, [v for v in some if v.stone is None], sections, trace)
        known, as_it_was = _change([v for v in some if v.stone is not None], sections, trace, by)
        stones |= known
        before |= as_it_was
    # All at once, so that a day which loses jobs is told of in one mail.
    _look(work, stones, before, trace, by, now)
    return trace


def _sections(
    cemetery: Cemetery, names: Sequence[str], trace: Trace, by: Person | None
) -> dict[str, Section]:
    last = cemetery.sections.aggregate(last=Max("order"))["last"] or 0
    rows = [
        Section(cemetery=cemetery, name=name, order=min(last + n, 32_000))
        for n, name in enumerate(names, 1)
    ]
    _insert(Section, rows)
    trace.sections = [row.pk for row in rows]
    details = [(row, {"name": row.name, "order": row.order}) for row in rows]
    audit.record_many(audit.by_person(by), "added", details)
    return {row.name: row for row in cemetery.sections.all()}


def _insert(model: type[Section] | type[Stone], rows: Sequence[Any]) -> None:
    """Insert rows; a name or number that was taken meanwhile gets a sentence, not an error."""
    try:
        with transaction.atomic():
            model._default_manager.bulk_create(rows)
    except IntegrityError:
        raise Refused([MEANWHILE]) from None


def _add(
    cemetery: Cemetery,
    verdicts: Sequence[Verdict],
    sections: Mapping[str, Section],
    trace: Trace,
) -> dict[int, Stone]:
    """Add new stones; return them by the row of the sheet. The audit of the import names them."""
    rows = [Stone(cemetery=cemetery, **_stored(one.values, sections)) for one in verdicts]
    _insert(Stone, rows)
    trace.stones += [row.pk for row in rows]
    return {verdict.row: row for verdict, row in zip(verdicts, rows, strict=True)}


def _stored(values: Mapping[str, Any], sections: Mapping[str, Section]) -> dict[str, Any]:
    """Return values of a sheet as a stone stores them: the section as a row."""
    found = dict(values)
    if "section" in found:
        found["section"] = sections[found["section"]]
    return found


def _change(
    verdicts: Sequence[Verdict],
    sections: Mapping[str, Section],
    trace: Trace,
    by: Person | None,
) -> tuple[dict[int, Stone], dict[int, Stone]]:
    """Change known stones; return them by row of the sheet, and as they were before by number."""
    rows = Stone.objects.in_bulk([v.stone for v in verdicts if v.stone is not None])
    before = {pk: copy(row) for pk, row in rows.items()}
    details, fields, moved = [], set[str](), defaultdict[int, list[int]](list)
    for verdict in verdicts:
        row = rows[verdict.stone or 0]
        changed = _set(row, _stored({k: v for k, (_, v) in verdict.changes.items()}, sections))
        if changed:
            trace.changed[str(row.pk)] = changed
            fields |= set(changed)
            details.append((row, changed))
        if "section" in changed:
            moved[row.section_id].append(row.pk)
    if fields:
        touched = [row for row, _ in details]
        Stone.objects.bulk_update(touched, sorted(fields), batch_size=ROWS_AT_ONCE)
    move_jobs(moved)
    audit.record_many(audit.by_person(by), "changed", details)
    return {verdict.row: rows[verdict.stone or 0] for verdict in verdicts}, before


def _set(row: Stone, values: Mapping[str, Any]) -> dict[str, list[Any]]:
    changed = {}
    for name, after in values.items():
        held = f"{name}_id" if isinstance(after, Section) else name
        changed[name] = [plain(getattr(row, held)), plain(after)]
        setattr(row, name, after)
    return changed


def move_jobs(moved: Mapping[int, Sequence[int]]) -> None:
    """Let the jobs of stones follow them; stones by the section they are in now."""
    for section, stones in moved.items():
        Job.objects.filter(stone__in=stones).update(section=section)


def _look(
    verdicts: Sequence[Verdict],
    stones: Mapping[int, Stone],
    before: Mapping[int, Stone],
    trace: Trace,
    by: Person | None,
    now: datetime,
) -> None:
    """Keep new looks and conclude from them; and anew where a stone is noted otherwise."""
    held = {pk: row.conclusion_id for pk, row in before.items()}
    looked = [verdict for verdict in verdicts if verdict.look]
    # Who adds a stone with its look is told once, with the import: an entry for each says no more.
    kept = _kept([v for v in looked if v.stone is None], stones, trace, "", by, now)
    kept += _kept([v for v in looked if v.stone is not None], stones, trace, "surveyed", by, now)
    settled = {one.survey.stone_id for one in kept if one.holds is not None}
    differing = [
        (before[stones[v.row].pk], stones[v.row])
        for v in verdicts
        if READ_BY_TRIAGE & set(v.changes) and stones[v.row].pk not in settled
    ]
    more, gone_too = anew(differing, by=by, now=now)
    trace.taken_off += gone_too
    _note([*kept, *more], held, trace)


def _kept(
    looked: Sequence[Verdict],
    stones: Mapping[int, Stone],
    trace: Trace,
    verb: str,
    by: Person | None,
    now: datetime,
) -> list[Concluded]:
    """Store looks and what they lead to; return the latter."""
    surveys = [
        Survey(stone=stones[one.row], by=by, **_look_values(one.look or {})) for one in looked
    ]
    Survey.objects.bulk_create(surveys, batch_size=ROWS_AT_ONCE)
    trace.surveys += [survey.pk for survey in surveys]
    concluded, gone = conclude(surveys, verb=verb, by=by, now=now)
    trace.taken_off += gone
    return concluded


def _look_values(look: Mapping[str, Any]) -> dict[str, Any]:
    return {SURVEY_COLUMNS.get(key, key): value for key, value in look.items()}


def _note(concluded: Iterable[Concluded], held: Mapping[int, int | None], trace: Trace) -> None:
    for one in concluded:
        trace.conclusions += [row.pk for row in one.made]
        if one.holds is not None:
            pk = one.row.stone_id
            trace.held[str(pk)] = [held.get(pk), one.holds.pk]
