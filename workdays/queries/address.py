"""The query of an address, read and written: what is known means something, the rest is said."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TypeVar
from urllib.parse import urlencode

FARTHEST = timedelta(days=1000)
LONGEST_QUOTED = 40
T = TypeVar("T")


@dataclass(frozen=True)
class AddressReader:
    """Reads a query value by value; ``ignored`` collects sentences on what made no sense."""

    query: Mapping[str, str]
    ignored: list[str] = field(default_factory=list)

    def one_of(self, key: str, known: Mapping[str, T], problem: str) -> T | None:
        """Return the value among those known."""
        return self.read(key, known.get, problem)

    def read(self, key: str, meaning: Callable[[str], T | None], problem: str) -> T | None:
        """Return what a value means; None and a sentence where it means nothing."""
        text = self.query.get(key, "").strip()
        if not text:
            return None
        found = meaning(text)
        if found is None:
            self.ignored.append(f"Ignored: “{_quoted(text)}” is {problem}.")
        return found

    def coming_day(self, key: str, *, today: date) -> date | None:
        """Return a date from today on, within the years that anybody plans for."""
        last = today + FARTHEST
        problem = f"no date from today to {last.day} {last:%B %Y}"
        return self.read(key, lambda text: _date(text, today), problem)

    def small_number(self, key: str, problem: str) -> int:
        """Return a number from 1 to 999,999; 0 for none."""
        return self.read(key, _small, problem) or 0


def query_string(given: Mapping[str, str]) -> str:
    """Return what asks for the same in an address; what is empty is left out."""
    return urlencode({key: value for key, value in given.items() if value})


def _quoted(text: str) -> str:
    plain = "".join(letter for letter in text if letter.isprintable())
    return plain if len(plain) <= LONGEST_QUOTED else f"{plain[:LONGEST_QUOTED]}…"


def _date(text: str, today: date) -> date | None:
    try:
        on = date.fromisoformat(text)
    except ValueError:
        return None
    return on if today <= on <= today + FARTHEST else None


def _small(text: str) -> int | None:
    known = text.isascii() and text.isdigit() and len(text) < 7
    return int(text) or None if known else None
