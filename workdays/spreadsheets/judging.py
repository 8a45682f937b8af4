"""Each row against what is known: new, changed, the same, or a problem in words."""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import Any

from workdays.rules.looking import refusals_to_record
from workdays.rules.triage import Lean, Sign, SurveyFacts
from workdays.spreadsheets import texts
from workdays.spreadsheets.fields import BY_KEY, STONE_FIELDS, SURVEY_FIELDS, Sort
from workdays.spreadsheets.rows import Problem, SheetRow

SURVEY_KEYS = tuple(one.key for one in SURVEY_FIELDS)
STONE_KEYS = tuple(one.key for one in STONE_FIELDS)
HALVES = (("east_m", "north_m"), ("latitude", "longitude"))
# A workbook keeps fifteen digits of a number.
SAME_PLACE_M = 1e-6
DEFAULTS: dict[str, Any] = {"type": "tablet", "material": "unknown"}
Values = dict[str, Any]


class Outcome(StrEnum):
    """What a row leads to."""

    NEW = "new"
    CHANGED = "changed"
    SAME = "same"
    PROBLEM = "problem"


@dataclass(frozen=True)
class StoneNow:
    """A stone as it is known: values by field, and every look at it, each with its day."""

    pk: int
    values: Values
    looks: tuple[Values, ...] = ()


@dataclass(frozen=True)
class Ground:
    """What rows are judged against. ``section`` takes rows that name none; "" when none does."""

    stones: list[StoneNow]
    sections: tuple[str, ...]
    today: date
    section: str = ""
    new_sections: bool = False
    blank_is_none: bool = False


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one row leads to. ``stone`` is None for a new one.

    ``values`` are a new stone's, ``changes`` [before, after] by field of a known one, ``look`` a
    look at it that is not known yet.
    """

    row: int
    outcome: Outcome
    number: str
    stone: int | None = None
    values: Values = field(default_factory=dict)
    changes: dict[str, tuple[Any, Any]] = field(default_factory=dict)
    look: Values | None = None
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class Judged:
    """All rows of a sheet, judged; ``sections`` are the names that would be made."""

    verdicts: list[Verdict]
    sections: tuple[str, ...] = ()

    def counts(self) -> dict[str, int]:
        """Return how many rows lead to what, and how many looks are new."""
        found = Counter(verdict.outcome.value for verdict in self.verdicts)
        looks = sum(v.look is not None for v in self.verdicts if v.outcome is not Outcome.PROBLEM)
        return {one.value: found[one.value] for one in Outcome} | {"looks": looks}

    def fingerprint(self) -> str:
        """Return a word that is another one when any row would lead to something else."""
        return hashlib.sha256(repr(self).encode()).hexdigest()[:24]

    def problems(self) -> list[Problem]:
        """Return every problem, in the order of the rows."""
        return [problem for verdict in self.verdicts for problem in verdict.problems]


def judge(rows: Iterable[SheetRow], ground: Ground) -> Judged:
    """Return what each row leads to."""
    bench = _Bench(ground)
    rows = list(rows)
    places = bench.places(rows)
    verdicts = [bench.verdict(row, places) for row in rows]
    return Judged(verdicts, tuple(bench.made))


class _Bench:
    """What is looked up for each row, prepared once."""

    def __init__(self, ground: Ground) -> None:
        self.ground = ground
        self.exact = {texts.line(one.values["number"]): one for one in ground.stones}
        loose: dict[str, list[StoneNow]] = defaultdict(list)
        for one in ground.stones:
            loose[texts.line(one.values["number"]).casefold()].append(one)
        self.loose = {key: found[0] for key, found in loose.items() if len(found) == 1}
        self.sections = {texts.line(name).casefold(): name for name in ground.sections}
        self.made: dict[str, None] = {}

    def stone(self, number: str) -> StoneNow | None:
        return self.exact.get(number) or self.loose.get(number.casefold())

    def key(self, row: SheetRow) -> str:
        """Return what tells the stones of a sheet apart: two rows with one key are one stone."""
        number = row.values.get("number", "")
        known = self.stone(number)
        return f"{known.pk}" if known else f"new {number.casefold()}"

    def places(self, rows: list[SheetRow]) -> dict[str, list[int]]:
        found: dict[str, list[int]] = defaultdict(list)
        for row in rows:
            if "number" in row.values:
                found[self.key(row)].append(row.number)
        return found

    def verdict(self, row: SheetRow, places: Mapping[str, list[int]]) -> Verdict:
        number = row.values.get("number", "")
        known = self.stone(number) if number else None
        values = {key: row.values[key] for key in STONE_KEYS if key in row.values}
        problems = list(row.problems)
        section = self._section(values, known, row, problems)
        if section:
            values["section"] = section
        if not number and not row.problems:
            problems.append(Problem(row.number, f"Row {row.number}: the stone has no number."))
        problems += _twice(row.number, number, places.get(self.key(row), []))
        changes = _changes(values, known)
        after = {**DEFAULTS, **(known.values if known else {}), **values}
        problems = [one for one in problems if not self._borne(one, row, known)]
        problems += _half_places(row.number, after)
        look, said = self._look(row, known, after)
        problems += said if not problems else []
        return _verdict(row.number, number, known, values, changes, look, problems)

    def _borne(self, problem: Problem, row: SheetRow, known: StoneNow | None) -> bool:
        """Whether an absurd value is what the stone, or its look of that day, bears already."""
        key = problem.absurd
        if not key or known is None:
            return False
        if key in STONE_KEYS:
            return same(key, known.values.get(key), row.values[key])
        return self._same_look(row, known) is not None

    def _section(
        self, values: Values, known: StoneNow | None, row: SheetRow, problems: list[Problem]
    ) -> str:
        named = values.get("section", "") or ("" if known else self.ground.section)
        if not named:
            if not known and "number" in values:
                sentence = f"Row {row.number}: a new stone needs a section."
                problems.append(Problem(row.number, sentence))
            return ""
        found = self.sections.get(named.casefold())
        if found:
            return found
        if self.ground.new_sections and not problems:
            self.sections[named.casefold()] = named
            self.made[named] = None
            return str(named)
        if not self.ground.new_sections:
            sentence = (
                f"Row {row.number}, Section: there is no section “{named}” here. Mend the word, or "
                "let new sections be made."
            )
            problems.append(Problem(row.number, sentence))
        return str(named)

    def _same_look(self, row: SheetRow, known: StoneNow) -> Values | None:
        told = {key: row.values[key] for key in SURVEY_KEYS if key in row.values}
        for look in known.looks:
            if all(same(key, look.get(key), value) for key, value in told.items()):
                return look
        return None

    def _look(
        self, row: SheetRow, known: StoneNow | None, after: Values
    ) -> tuple[Values | None, list[Problem]]:
        told = {key: row.values[key] for key in SURVEY_KEYS if key in row.values}
        if not told:
            return None, []
        if "on" not in told:
            return None, [_said(row, "something was seen, but no day is given for the look.")]
        if known and self._same_look(row, known) is not None:
            return None, []
        if "signs" not in told and self.ground.blank_is_none:
            told["signs"] = []
        if "signs" not in told:
            words = "the look has no signs: write “none” where nothing was seen."
            return None, [_said(row, f"Signs: {words}", comma=True)]
        facts = look_facts(told, after["type"])
        refusals = refusals_to_record(
            facts,
            pieces=told.get("survey_pieces"),
            stone_height_cm=after.get("height_cm"),
            depth_sunk_cm=told.get("depth_sunk_cm"),
            today=self.ground.today,
        )
        return told, [_said(row, one.sentence) for one in refusals]


def _said(row: SheetRow, words: str, *, comma: bool = False) -> Problem:
    return Problem(row.number, f"Row {row.number}{', ' if comma else ': '}{words}")


def look_facts(told: Mapping[str, Any], stone_type: str) -> SurveyFacts:
    """Return a look as the rules read it."""
    signs = {Sign(sign) for sign in told.get("signs", ())}
    if told.get("sound") == "hollow":
        signs.add(Sign.HOLLOW)
    return SurveyFacts(
        on=told["on"],
        signs=frozenset(signs),
        stone_type=stone_type,
        tapped=told.get("sound", "unknown") != "unknown",
        lean_degrees=told.get("lean_degrees"),
        lean=Lean(told.get("lean_direction") or Lean.UNKNOWN),
        height_above_cm=told.get("height_above_cm"),
    )


def same(key: str, before: Any, after: Any) -> bool:
    """Return whether two values of a field are the same once stored; None is blank."""
    if before is None or after is None:
        return before is after
    sort = BY_KEY[key].sort
    if sort is Sort.LINE:
        return texts.line(str(before)) == texts.line(str(after))
    if sort is Sort.TEXT:
        return texts.paragraph(str(before)) == texts.paragraph(str(after))
    if sort is Sort.WORDS:
        return sorted(before) == sorted(after)
    if sort is Sort.METRES:
        return abs(float(before) - float(after)) < SAME_PLACE_M
    return bool(before == after)


def _changes(values: Values, known: StoneNow | None) -> dict[str, tuple[Any, Any]]:
    if known is None:
        return {}
    return {
        key: (known.values.get(key), value)
        for key, value in values.items()
        if key != "number" and not same(key, known.values.get(key), value)
    }


def _twice(row: int, number: str, rows: list[int]) -> list[Problem]:
    others = [str(other) for other in rows if other != row]
    if not number or not others:
        return []
    word = "row" if len(others) == 1 else "rows"
    named = ", ".join(others[:5])
    return [Problem(row, f"Row {row}, Number: stone “{number}” is in {word} {named} as well.")]


def _half_places(row: int, after: Values) -> list[Problem]:
    return [
        Problem(row, f"Row {row}: give both {BY_KEY[one].label} and {BY_KEY[other].label}.")
        for one, other in HALVES
        if (after.get(one) is None) != (after.get(other) is None)
    ]


def _verdict(
    row: int,
    number: str,
    known: StoneNow | None,
    values: Values,
    changes: dict[str, tuple[Any, Any]],
    look: Values | None,
    problems: list[Problem],
) -> Verdict:
    pk = known.pk if known else None
    if problems:
        return Verdict(row, Outcome.PROBLEM, number, pk, problems=tuple(problems))
    if known is None:
        return Verdict(row, Outcome.NEW, number, None, values, {}, look)
    outcome = Outcome.CHANGED if changes or look else Outcome.SAME
    return Verdict(row, outcome, number, pk, {}, changes, look)
