"""What is read on a stone, line by line, and how sure each letter and each fact is.

A line is written as it is cut. Letters in square brackets are doubtful: ``MAR[Y]``. Dots alone in
brackets stand for letters that are lost, one dot a letter: ``[...]``. The brackets follow the habit
of those who publish inscriptions (Leiden conventions, 1931, from memory), simplified for a phone.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from workdays.rules.refusals import Refusal

MOST_LINES = 80
LONGEST_LINE = 200
FIRST_YEAR = 1980
_PART = re.compile(r"\[([^\[\]]*)\]|([^\[\]]+)")
_YEAR = re.compile(r"(?<!\d)(1[0-9]{3}|20[0-9]{2})(?!\d)")


class Letters(StrEnum):
    """How well a run of letters was read."""

    SURE = "sure"
    DOUBTFUL = "doubtful"
    LOST = "lost"


class Certainty(StrEnum):
    """How sure a fact is, the surest first; the stored words."""

    SURE = "sure"
    LIKELY = "likely"
    DOUBTFUL = "doubtful"
    UNKNOWN = "unknown"


class Origin(StrEnum):
    """Where a fact is from; the stored words."""

    STONE = "stone"
    REGISTER = "register"
    TOLD = "told"


@dataclass(frozen=True, slots=True)
class Run:
    """Some letters of a line, all read equally well; lost ones are as many dots."""

    text: str
    letters: Letters


@dataclass(frozen=True, slots=True)
class FactRead:
    """A name or date that a reading gives. `subject` and the others are the stored words."""

    subject: str
    words: str
    certainty: str = Certainty.UNKNOWN.value
    origin: str = Origin.STONE.value
    origin_words: str = ""


def runs(line: str) -> tuple[Run, ...]:
    """Return a line as runs of letters. Raises ValueError where brackets do not pair."""
    found: list[Run] = []
    at = 0
    for match in _PART.finditer(line):
        if match.start() != at:
            raise ValueError("brackets do not pair")
        at = match.end()
        inside, outside = match.groups()
        if outside is not None:
            found.append(Run(outside, Letters.SURE))
        elif inside.strip():
            lost = not inside.strip(". ")
            found.append(Run(inside, Letters.LOST if lost else Letters.DOUBTFUL))
    if at != len(line):
        raise ValueError("brackets do not pair")
    return tuple(found)


def plain(line: str) -> str:
    """Return a line without its brackets; lost letters are one dash of three dots.

    Raises ValueError where brackets do not pair.
    """
    said = ("…" if run.letters is Letters.LOST else run.text for run in runs(line))
    return " ".join("".join(said).split())


def is_certain(line: str) -> bool:
    """Return whether every letter was read without doubt."""
    return all(run.letters is Letters.SURE for run in runs(line))


def year_in(words: str) -> int | None:
    """Return the last year from 1000 to 2099 that was read without doubt; None without one."""
    sure = "".join(run.text if run.letters is Letters.SURE else "?" for run in runs(words))
    years = _YEAR.findall(sure)
    return int(years[-1]) if years else None


def refusals_to_keep(
    on: date, lines: Sequence[str], facts: Iterable[FactRead], *, today: date
) -> list[Refusal]:
    """Return why a reading cannot be kept; empty: it can.

    Codes: future, too-old, nothing, too-many-lines, brackets, and for the n-th fact from 0
    ``fact-n``.
    """
    facts = list(facts)
    refusals = [*_wrong_day(on, today), *_wrong_lines(lines)]
    if not any(line.strip() for line in lines) and not facts:
        sentence = (
            "Write what can be read; where nothing can, one line of dots in brackets: [.....]."
        )
        refusals.append(Refusal("nothing", sentence))
    for n, fact in enumerate(facts):
        refusals += [Refusal(f"fact-{n}", sentence) for sentence in _wrong_fact(fact)]
    return refusals


def _wrong_day(on: date, today: date) -> list[Refusal]:
    if on > today:
        return [Refusal("future", "A reading is written down after it: this day is to come.")]
    if on.year < FIRST_YEAR:
        return [Refusal("too-old", f"Give a day from {FIRST_YEAR} on.")]
    return []


def _wrong_lines(lines: Sequence[str]) -> list[Refusal]:
    if len(lines) > MOST_LINES:
        return [Refusal("too-many-lines", f"At most {MOST_LINES} lines; these are {len(lines)}.")]
    refusals = []
    for n, line in enumerate(lines, start=1):
        if not paired(line):
            sentence = f"Line {n}: each [ needs its ] in the same line, not one in another."
            refusals.append(Refusal("brackets", sentence))
        if len(line) > LONGEST_LINE:
            sentence = f"Line {n} has {len(line)} letters; at most {LONGEST_LINE}."
            refusals.append(Refusal("brackets", sentence))
    return refusals


def _wrong_fact(fact: FactRead) -> list[str]:
    if not fact.words.strip():
        return ["Write the name or the date, or leave the whole row empty."]
    if not paired(fact.words):
        return ["Each [ needs its ]."]
    said = []
    if fact.origin != Origin.STONE and not fact.origin_words.strip():
        said.append("Say which register and page, or who told it.")
    read_here = fact.origin == Origin.STONE and fact.certainty == Certainty.SURE
    if read_here and not is_certain(fact.words):
        said.append("Letters in brackets are doubtful: this cannot be sure.")
    return said


def paired(line: str) -> bool:
    """Return whether each bracket of a line has its other half."""
    try:
        runs(line)
    except ValueError:
        return False
    return True
