"""Say no as a value: what every rule returns when something may not be done."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, order=True)
class Refusal:
    """One reason why not.

    `code` is stable, for programs and tests; `sentence` is for people, ends with a full stop
    and names what would change the answer where something would.
    """

    code: str
    sentence: str


def sentences(refusals: list[Refusal]) -> list[str]:
    """Return the sentences in order, each once."""
    return list(dict.fromkeys(refusal.sentence for refusal in refusals))
