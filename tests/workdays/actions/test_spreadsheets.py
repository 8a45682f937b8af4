"""A sheet is brought in as a whole or not at all, once, and leaves what it was asked for."""

from collections.abc import Iterable
from datetime import date
from typing import Any

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.workdays.spreadsheets.made import workbook
from workdays.actions.bringing_in import write_rows
from workdays.actions.jobs_of_days import put_jobs_on_day
from workdays.actions.spreadsheets import (
    BroughtIn,
    bring_in,
    choose_columns,
    discard_sheet,
    keep_sheet,
    nothing_new,
)
from workdays.actions.surveys import override_conclusion
from workdays.models import Cemetery, Conclusion, Section, SheetImport, Stone, Survey
from workdays.queries.ground import today_at
from workdays.queries.spreadsheets import first_mapping, mapping_of, stones_now, table_of, try_sheet
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.table import Table
from workdays.spreadsheets.writing import to_text, to_workbook

pytestmark = pytest.mark.django_db
NOW = factories.NOW
HEAD = ["No", "Section", "Type", "Material", "Height (in)", "Date", "Signs", "Lean"]
ROWS: list[list[Any]] = [
    HEAD,
    ["A1", "Old", "tablet", "marble", 24, "2026-04-01", "moss", 2],
    ["A2", "Old", "obelisk", "granite", "6'", "2026-04-01", "none", 0],
    ["A3", "Old", "ledger", None, None, None, None, None],
]


@pytest.fixture(autouse=True)
def files_apart(settings: Any, tmp_path: Any) -> None:
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def ruth() -> Person:
    return factories.make_staff()


@pytest.fixture
def place() -> Cemetery:
    return factories.make_section(name="Old").cemetery


def kept(place: Cemetery, rows: Iterable[Any], by: Person, **choices: Any) -> SheetImport:
    """Keep a file of these rows, read as guessed and with these choices."""
    octets = rows if isinstance(rows, bytes) else workbook(rows)
    mapping = first_mapping(place, read(octets)).as_json() | choices
    return keep_sheet(place, octets, "hill.xlsx", mapping=mapping, by=by)


def brought(place: Cemetery, rows: Iterable[Any], by: Person, **choices: Any) -> BroughtIn:
    return bring_in(kept(place, rows, by, **choices), by=by, now=NOW)


def test_stones_and_looks_come_in_and_are_concluded_from(place: Cemetery, ruth: Person) -> None:
    done = brought(place, ROWS, ruth)
    assert done.sheet.state == SheetImport.State.DONE
    assert {key: done.counts[key] for key in ("new", "looks", "problem")} == {
        "new": 3, "looks": 2, "problem": 0,
    }  # fmt: skip
    first, second, third = place.stones.order_by("number")
    assert (first.height_cm, first.material, first.type) == (61, "marble", "tablet")
    assert second.height_cm == 183
    look = first.surveys.get()
    assert (look.on, look.signs, look.lean_degrees) == (date(2026, 4, 1), ["growth"], 2)
    assert first.conclusion is not None
    assert first.conclusion.survey == look
    assert "clean" in first.conclusion.needs
    assert third.conclusion is None
    told = AuditEntry.objects.get(verb="brought in").detail
    assert told["new"] == len(told["made"]["stones"]) == 3
    assert {*told["made"]["surveys"]} == {*Survey.objects.values_list("pk", flat=True)}


def test_one_problem_keeps_every_row_out(place: Cemetery, ruth: Person) -> None:
    rows = [*ROWS, ["A4", "Old", "tablet", "marble", "tall", None, None, None]]
    sheet = kept(place, rows, ruth)
    with pytest.raises(Refused) as refused:
        bring_in(sheet, by=ruth, now=NOW)
    [refusal] = refused.value.refusals
    assert "Nothing was brought in. Row 5, Height (E5): “tall”" in refusal.sentence
    assert not place.stones.exists()
    sheet.refresh_from_db()
    assert sheet.state == SheetImport.State.WAITING


def test_rows_with_problems_are_left_out_when_somebody_says_so(
    place: Cemetery, ruth: Person
) -> None:
    rows = [*ROWS, ["A4", "New", "tablet", "marble", "tall", None, None, None]]
    sheet = kept(place, rows, ruth, new_sections=True)
    done = bring_in(sheet, by=ruth, now=NOW, leave_out=True)
    assert (place.stones.count(), done.counts["problem"]) == (3, 1)
    assert [section.name for section in place.sections.all()] == ["Old"]


def test_the_same_file_twice_changes_nothing(place: Cemetery, ruth: Person) -> None:
    brought(place, ROWS, ruth)
    before = list(place.stones.values()), Survey.objects.count(), Conclusion.objects.count()
    again = brought(place, ROWS, ruth)
    assert "nothing changes" in nothing_new(again)
    assert again.counts["same"] == 3
    assert again.sheet.state == SheetImport.State.WAITING
    assert (list(place.stones.values()), Survey.objects.count(), Conclusion.objects.count()) == (
        before
    )


def test_a_second_press_finds_it_done(place: Cemetery, ruth: Person) -> None:
    sheet = kept(place, ROWS, ruth)
    bring_in(sheet, by=ruth, now=NOW)
    with pytest.raises(Refused, match="brought in already"):
        bring_in(sheet, by=ruth, now=NOW)
    with pytest.raises(Refused, match="brought in already"):
        choose_columns(sheet, {}, by=ruth)
    with pytest.raises(Refused, match="brought in already"):
        discard_sheet(sheet, by=ruth)
    assert place.stones.count() == 3


def test_what_was_looked_at_must_still_hold(place: Cemetery, ruth: Person) -> None:
    sheet = kept(place, ROWS, ruth)
    seen = trial(sheet).fingerprint()
    factories.make_stone(place.sections.get(), number="A1")
    with pytest.raises(Refused, match="look through it again"):
        bring_in(sheet, by=ruth, now=NOW, seen=seen)
    bring_in(sheet, by=ruth, now=NOW, seen=trial(sheet).fingerprint())
    assert place.stones.count() == 3


def trial(sheet: SheetImport) -> Any:
    table = table_of(sheet)
    today = today_at(sheet.cemetery, now=NOW)
    return try_sheet(sheet.cemetery, table, mapping_of(sheet, table), today=today).judged


def test_known_stones_change_where_a_cell_says_so(place: Cemetery, ruth: Person) -> None:
    stone = factories.make_stone(place.sections.get(), number="a1", notes="kept", height_cm=50)
    job = factories.make_job(stone)
    rows = [HEAD, ["A1", "New", None, "granite", 24, None, None, None]]
    brought(place, rows, ruth, new_sections=True)
    stone.refresh_from_db()
    job.refresh_from_db()
    assert (stone.height_cm, stone.material, stone.notes, stone.number) == (
        61, "granite", "kept", "a1",
    )  # fmt: skip
    assert stone.section.name == job.section.name == "New"
    entry = AuditEntry.objects.get(verb="changed", thing_type="stone")
    assert entry.detail["height_cm"] == [50, 61]


def test_a_worse_look_takes_jobs_off_days_at_once(place: Cemetery, ruth: Person) -> None:
    factories.make_permission(place)
    stone = factories.make_stone(place.sections.get(), number="A1")
    factories.conclude(stone)
    job, day = factories.make_job(stone), factories.make_day(place)
    put_jobs_on_day(day, [job], by=ruth, now=NOW)
    rows = [HEAD, ["A1", None, None, None, None, "2026-05-01", "sugaring", 0]]
    done = brought(place, rows, ruth)
    assert [gone.job for gone in done.taken_off] == [job]
    assert not day.jobs.exists()
    done.sheet.refresh_from_db()
    assert "was taken off Saturday 9 May" in done.sheet.counts["taken_off"][0]


def test_a_long_sheet_tells_of_a_day_in_one_mail(
    place: Cemetery, ruth: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("workdays.actions.bringing_in.ROWS_AT_ONCE", 1)
    monkeypatch.setattr("workdays.actions.concluding.ROWS_AT_ONCE", 1)
    monkeypatch.setattr("workdays.actions.concluding.MOST_IDS", 1)
    factories.make_permission(place)
    other, day, stones = factories.make_staff(), factories.make_day(place), ("A1", "A2", "A3")
    for number in stones:
        stone = factories.make_stone(place.sections.get(), number=number)
        factories.conclude(stone)
        day.jobs.add(factories.make_job(stone))
    worse = [[number, None, None, None, None, "2026-05-01", "sugaring", 0] for number in stones]
    done = brought(place, [HEAD, *worse], ruth)
    assert len(done.taken_off) == len(stones)
    [mail] = SentMessage.objects.filter(reason="taken_off")
    assert mail.person == other
    assert all(number in mail.text for number in stones)


def test_a_type_that_triage_reads_is_concluded_from_anew(place: Cemetery, ruth: Person) -> None:
    rows = [HEAD, ["A1", "Old", "tablet", "marble", None, "2026-04-01", "moss", 8]]
    brought(place, rows, ruth)
    stone = place.stones.get()
    before = stone.conclusion
    brought(place, [["No", "Type"], ["A1", "obelisk"]], ruth)
    stone.refresh_from_db()
    assert stone.type == "obelisk"
    assert stone.conclusion is not None
    assert stone.conclusion != before
    assert stone.conclusion.survey == stone.surveys.get()


def test_a_persons_stricter_word_stays_above_an_imported_look(
    place: Cemetery, ruth: Person
) -> None:
    stone = factories.make_stone(place.sections.get(), number="A1")
    override_conclusion(stone, kind="leave_alone", needs=[], reason="", by=ruth, now=NOW)
    brought(place, ROWS, ruth)
    stone.refresh_from_db()
    assert stone.conclusion is not None
    assert stone.conclusion.kind == "leave_alone"


def test_nothing_stays_when_writing_breaks_off(
    place: Cemetery, ruth: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = kept(place, ROWS, ruth)

    def broken(*args: Any, **kwargs: Any) -> Any:
        write_rows(*args, **kwargs)
        raise RuntimeError("the machine stops")

    monkeypatch.setattr("workdays.actions.spreadsheets.write_rows", broken)
    with pytest.raises(RuntimeError):
        bring_in(sheet, by=ruth, now=NOW)
    assert not Stone.objects.exists()
    assert not Survey.objects.exists()
    assert not AuditEntry.objects.filter(verb="brought in").exists()


def test_a_thrown_away_sheet_takes_its_file_along(
    place: Cemetery, ruth: Person, django_capture_on_commit_callbacks: Any
) -> None:
    sheet = kept(place, ROWS, ruth)
    storage, name = sheet.file.storage, sheet.file.name or ""
    assert storage.exists(name)
    with django_capture_on_commit_callbacks(execute=True):
        discard_sheet(sheet, by=ruth)
    assert not storage.exists(name)
    with pytest.raises(Refused, match="thrown this sheet away"):
        bring_in(sheet, by=ruth, now=NOW)


def test_a_file_is_read_once_and_each_of_its_sheets_is_told_apart(
    place: Cemetery, ruth: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    times: list[str] = []

    def counted(octets: bytes, name: str, sheet: str) -> Table:
        times.append(sheet)
        return read(octets, name, sheet)

    monkeypatch.setattr("workdays.queries.spreadsheets.read", counted)
    sheet = kept(place, ROWS, ruth)
    first = table_of(sheet)
    assert table_of(sheet) == first
    assert len(times) == 1
    table_of(sheet, page="another")
    assert len(times) == 2
    octets = workbook(ROWS)
    mapping = first_mapping(place, read(octets)).as_json()
    again = keep_sheet(place, octets, "b.xlsx", mapping=mapping, by=ruth, table=read(octets))
    assert table_of(again) == first
    assert len(times) == 2


def test_a_lost_file_is_told(place: Cemetery, ruth: Person) -> None:
    sheet = kept(place, ROWS, ruth)
    sheet.file.storage.delete(sheet.file.name or "")
    with pytest.raises(Refused, match="no longer here"):
        bring_in(sheet, by=ruth, now=NOW)


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_was_exported_is_brought_in_as_nothing(
    place: Cemetery, ruth: Person, form: str
) -> None:
    brought(place, ROWS, ruth)
    odd = {"notes": "=SUM(A1)\n+2", "name_on_stone": "@Cobb", "east_m": 0.1, "north_m": 7.25}
    factories.make_stone(place.sections.get(), number="-5", **odd)
    found = stones_now(place)
    octets = to_workbook(found) if form == "xlsx" else "".join(to_text(found)).encode()
    again = brought(place, octets, ruth)
    assert "nothing changes" in nothing_new(again)
    assert again.counts["same"] == 4


def test_sections_are_made_only_where_that_is_allowed(place: Cemetery, ruth: Person) -> None:
    rows = [HEAD, ["A1", "East", "tablet", None, None, None, None, None]]
    with pytest.raises(Refused, match="no section “East” here"):
        brought(place, rows, ruth)
    brought(place, rows, ruth, new_sections=True)
    assert Section.objects.get(name="East").stones.count() == 1


def test_the_next_sheet_is_read_as_the_last_was(place: Cemetery, ruth: Person) -> None:
    rows = [["Nr", "Sect", "Big"], ["A1", "Old", 24]]
    mapping = first_mapping(place, read(workbook(rows))).as_json()
    mapping["columns"][2] |= {"field": "height_cm", "reads_as": "in"}
    sheet = keep_sheet(place, workbook(rows), "a.xlsx", mapping=mapping, by=ruth)
    bring_in(sheet, by=ruth, now=NOW)
    brought(place, [["Nr", "Big"], ["A1", 30]], ruth)
    assert place.stones.get().height_cm == 76
