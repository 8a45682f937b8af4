"""The table of a cemetery's stones, and everything the page of one stone shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from django.core.paginator import Page, Paginator
from django.db.models import Q, QuerySet
from django.utils.translation import gettext_lazy as _

from workdays.models import Cemetery, Conclusion, Job, Photograph, Section, Stone, Survey
from workdays.queries.address import query_string
from workdays.queries.backlog import JobRow, job_rows
from workdays.queries.ground import stones_of, today_at
from workdays.queries.stone_facts import conclusion_facts
from workdays.queries.stone_weight import StoneLift, lift_of
from workdays.rules import triage
from workdays.rules.triage import MARK_WORDS, SIGN_WORDS, Lean, Mark, Need, Sign, gravest

ROWS_A_PAGE = 50
LEAN_WORDS = {
    Lean.FRONT_OR_BACK: _("to the front or back"),
    Lean.SIDE: _("to the side"),
    Lean.UNKNOWN: "",
}


@dataclass(frozen=True)
class StoneFilter:
    """What a table of stones was asked for: a mark, a section's id, words; empty: all."""

    needs: str = ""
    section: str = ""
    words: str = ""

    @classmethod
    def from_query(cls, query: Mapping[str, str]) -> "StoneFilter":
        """Return the filter of an address; what makes no sense asks for nothing."""
        needs, section = query.get("needs", ""), query.get("section", "")
        known = needs in {mark.value for mark in Mark}
        small = section.isascii() and section.isdigit() and len(section) < 10
        words = query.get("words", "").replace("\x00", "").strip()[:40]
        return cls(needs if known else "", section if small else "", words)

    @property
    def address(self) -> str:
        """Return the filter as the start of a query string for the links between pages."""
        given = {"needs": self.needs, "section": self.section, "words": self.words}
        return query_string(given)


@dataclass(frozen=True)
class StoneRow:
    """One line of the table: a stone and the state it shows."""

    stone: Stone
    mark: Mark
    needs: str


@dataclass(frozen=True)
class StoneTable:
    """A page of the table, what was asked for, and what can be asked for."""

    rows: list[StoneRow]
    page: "Page[Stone]"
    asked: StoneFilter
    sections: list[Section]
    marks: list[tuple[str, str]]


def stone_table(cemetery: Cemetery, asked: StoneFilter, *, page: str, now: datetime) -> StoneTable:
    """Return one page of the stones of a cemetery; a page that is not there is the nearest."""
    today = today_at(cemetery, now=now)
    found = _filtered(stones_of(cemetery), asked, today)
    sheet = Paginator(found, ROWS_A_PAGE).get_page(page)
    return StoneTable(
        rows=[stone_row(stone, on=today) for stone in sheet],
        page=sheet,
        asked=asked,
        sections=list(cemetery.sections.order_by("order", "pk")),
        marks=[(mark.value, MARK_WORDS[mark]) for mark in Mark],
    )


def stone_row(stone: Stone, *, on: date) -> StoneRow:
    """Return a stone with its mark, and all that it needs in words."""
    concluded = conclusion_facts(stone.conclusion)
    mark = gravest(concluded, on=on)
    return StoneRow(stone, mark, _needs(concluded) or MARK_WORDS[mark])


def _needs(concluded: triage.Conclusion | None) -> str:
    needs = concluded.needs if concluded else frozenset()
    return ", ".join(MARK_WORDS[Mark(need.value)] for need in Need if need in needs)


def concluded_words(row: Conclusion) -> str:
    """Return what a stored conclusion says, in words."""
    facts = conclusion_facts(row)
    return _needs(facts) or MARK_WORDS[gravest(facts)]


def _filtered(found: "QuerySet[Stone]", asked: StoneFilter, on: date) -> "QuerySet[Stone]":
    if asked.section:
        found = found.filter(section=int(asked.section))
    if asked.words:
        number, name = Q(number__icontains=asked.words), Q(name_on_stone__icontains=asked.words)
        found = found.filter(number | name)
    return _with_mark(found, Mark(asked.needs), on) if asked.needs else found


def _with_mark(found: "QuerySet[Stone]", mark: Mark, on: date) -> "QuerySet[Stone]":
    """Return the stones that need what a mark says, whether or not it is the gravest.

    Needs are few words in a JSON list, which not every database can search: the ids are found
    in plain text that each word stands in with its quotes.
    """
    if mark is Mark.NOT_SEEN:
        return found.filter(conclusion__isnull=True)
    if mark in (Mark.LEAVE_ALONE, Mark.CONSERVATOR):
        return found.filter(conclusion__kind=mark.value)
    rows = found.filter(conclusion__kind=Conclusion.Kind.NEEDS)
    due = Q(conclusion__look_again_on__lt=on)
    if mark is Mark.SOUND:
        return rows.filter(conclusion__needs=[]).exclude(due)
    needing = rows.filter(conclusion__needs__icontains=f'"{mark.value}"')
    return needing | rows.filter(due) if mark is Mark.LOOK_AGAIN else needing


@dataclass(frozen=True)
class SurveyRow:
    """One look, in words: the signs, the lean, and who looked."""

    survey: Survey
    signs: list[str]
    lean: str


@dataclass(frozen=True)
class ConclusionRow:
    """One conclusion and what it says, in words."""

    row: Conclusion
    words: str


@dataclass(frozen=True)
class StonePage:
    """Everything that the page of one stone shows; ``due`` says that it must be looked at."""

    row: StoneRow
    sentence: str
    due: bool
    lift: StoneLift
    conclusions: list[ConclusionRow]
    surveys: list[SurveyRow]
    jobs: list[JobRow]
    photographs: list[Photograph]

    @property
    def last_look(self) -> Survey | None:
        """Return the newest look; None when nobody has looked."""
        return self.surveys[0].survey if self.surveys else None


def stone_page(stone: Stone, *, now: datetime) -> StonePage:
    """Return what holds for a stone and its whole history, newest first."""
    today = today_at(stone.cemetery, now=now)
    row = stone_row(stone, on=today)
    surveys = list(stone.surveys.select_related("by"))
    conclusions = stone.conclusions.select_related("overridden_by", "survey")
    jobs = Job.objects.filter(stone=stone)
    until = stone.conclusion.look_again_on if stone.conclusion else None
    return StonePage(
        row=row,
        sentence=_sentence(stone, row),
        due=until is not None and until < today,
        lift=lift_of(stone, on=today, look=surveys[0] if surveys else None),
        conclusions=[ConclusionRow(row, concluded_words(row)) for row in conclusions],
        surveys=[survey_row(survey) for survey in surveys],
        jobs=job_rows(jobs, on=today),
        photographs=list(stone.photographs.all()),
    )


def _sentence(stone: Stone, row: StoneRow) -> str:
    """Return the heading of a stone's page: what holds for it."""
    said = {
        Mark.LEAVE_ALONE: "leave it alone",
        Mark.CONSERVATOR: "for a conservator",
        Mark.SOUND: "sound, nothing to do",
        Mark.NOT_SEEN: "nobody has surveyed it yet",
    }
    return f"Stone {stone.number}: {said.get(row.mark) or f'needs {_needed(row)}'}"


def _needed(row: StoneRow) -> str:
    words = {"clean": "cleaning", "reset": "a reset", "look again": "another look"}
    return " and ".join(words.get(word, word) for word in row.needs.split(", "))


def survey_row(survey: Survey) -> SurveyRow:
    """Return one look in words."""
    known = {sign.value for sign in Sign}
    signs = [SIGN_WORDS[Sign(sign)] if sign in known else sign for sign in survey.signs]
    return SurveyRow(survey, signs, _lean_words(survey))


def _lean_words(survey: Survey) -> str:
    if survey.lean_degrees is None:
        return "lean not measured"
    if survey.lean_degrees == 0:
        return "upright"
    way = LEAN_WORDS[Lean(survey.lean_direction or Lean.UNKNOWN)]
    return f"leans {survey.lean_degrees} degrees {way}".strip()
