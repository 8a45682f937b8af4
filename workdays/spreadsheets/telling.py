"""What a judged sheet leads to, in the sentences that the page and the command both say."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from workdays.spreadsheets.fields import BY_KEY, Sort
from workdays.spreadsheets.judging import Judged, Outcome, Verdict
from workdays.spreadsheets.rows import Problem
from workdays.spreadsheets.table import short, shown
from workdays.spreadsheets.words import ALLOWED, NONE_SEEN

NOTHING_NEW = "Every row is known here as it is: nothing changes."
FEWEST_ALIKE = 4
MOST_RUNS = 200
NO_ROWS = "Below the headings there is no row of a stone."


def summary(judged: Judged) -> list[str]:
    """Return what the rows lead to, a sentence for each thing that is not nothing."""
    counts = judged.counts()
    found = [
        _counted(counts["new"], "stone is new", "stones are new"),
        _counted(counts["changed"], "known stone changes", "known stones change"),
        _counted(counts["same"], "row is known as it is", "rows are known as they are"),
        _counted(counts["looks"], "look at a stone is new", "looks at stones are new"),
        _counted(counts["problem"], "row has a problem", "rows have problems"),
    ]
    said = [sentence for sentence in found if sentence]
    if judged.sections:
        named = ", ".join(judged.sections[:8]) + (", …" if len(judged.sections) > 8 else "")
        words = "section is" if len(judged.sections) == 1 else "sections are"
        said.append(f"{len(judged.sections):,} {words} made: {named}.")
    return said


def heading(judged: Judged) -> str:
    """Return the one thing to know of a sheet that was tried and not brought in."""
    counts = judged.counts()
    whole = counts["new"] + counts["changed"]
    if counts["problem"]:
        can = f"; {whole:,} could come in" if whole else ""
        return f"{_counted(counts['problem'], 'row has a problem', 'rows have problems')[:-1]}{can}"
    if not judged.verdicts:
        return "no row of a stone was found"
    if not whole:
        return "nothing would change"
    return f"{_counted(whole, 'row can', 'rows can')[:-1]} come in, none has a problem"


def _counted(n: int, one: str, many: str) -> str:
    return f"{n:,} {one if n == 1 else many}." if n else ""


def would_change(verdict: Verdict) -> str:
    """Return what one row leads to, in words."""
    parts = []
    if verdict.outcome is Outcome.NEW:
        parts.append(f"new: {_stone_words(verdict.values)}")
    for key, (before, after) in verdict.changes.items():
        label = BY_KEY[key].label
        parts.append(f"{label}: {value_words(key, before)} → {value_words(key, after)}")
    if verdict.look:
        parts.append(f"look of {shown(verdict.look['on'])}: {look_words(verdict.look)}")
    return "; ".join(parts)


def _stone_words(values: Mapping[str, Any]) -> str:
    kind = value_words("type", values.get("type", "tablet"))
    material = values.get("material", "unknown")
    made_of = "" if material == "unknown" else f"{value_words('material', material)} "
    return f"{made_of}{kind} in {short(values.get('section', ''))}"


def look_words(look: Mapping[str, Any]) -> str:
    """Return the signs that a look saw, and its lean."""
    signs = value_words("signs", look.get("signs"))
    lean = look.get("lean_degrees")
    return signs if lean is None else f"{signs}, lean {lean} degrees"


def value_words(key: str, value: Any) -> str:
    """Return a value of a field as people read it."""
    sort = BY_KEY[key].sort
    if sort is Sort.WORDS:
        words = ALLOWED[key]
        return ", ".join(words.get(one, one) for one in value or ()) or words[NONE_SEEN]
    if value is None or value == "":
        return "blank"
    if sort is Sort.WORD:
        return ALLOWED[key].get(value, str(value))
    return short(value)


def problem_words(judged: Judged) -> list[str]:
    """Return every problem in words, in the order of the rows; the same one of many rows once."""
    groups: dict[str, list[Problem]] = defaultdict(list)
    for problem in judged.problems():
        groups[_without_row(problem)].append(problem)
    said: list[tuple[int, str]] = []
    for words, problems in groups.items():
        if len(problems) < FEWEST_ALIKE:
            said += [(problem.row, problem.sentence) for problem in problems]
        else:
            said.append((problems[0].row, f"Rows {_rows([p.row for p in problems])}{words}"))
    return [sentence for _, sentence in sorted(said)]


def _without_row(problem: Problem) -> str:
    """Return a sentence without its row; of the address of a cell the column stays."""
    words = problem.sentence.removeprefix(f"Row {problem.row}")
    return re.sub(rf"\(([A-Z]+){problem.row}\)", r"(column \1)", words, count=1)


def _rows(rows: list[int]) -> str:
    """Return "5, 7 to 9, 12"."""
    runs: list[list[int]] = []
    for row in rows:
        if runs and row == runs[-1][1] + 1:
            runs[-1][1] = row
        else:
            runs.append([row, row])
    named = [str(first) if first == last else f"{first} to {last}" for first, last in runs]
    more = f" and {len(named) - MOST_RUNS} more" if len(named) > MOST_RUNS else ""
    return ", ".join(named[:MOST_RUNS]) + more
