"""Read the season's compact files."""

import csv
import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from django.conf import settings

FOLDER = Path(settings.BASE_DIR) / "fixtures" / "demo"


@dataclass(frozen=True)
class PersonLine:
    """One line of people.csv.

    ``levels`` maps a skill to taught, practised, signed_off or supervisor. ``flags`` are words:
    lead, organiser, supervisor, supervisor-north, conservator, nolift, nokneel, nostand.
    """

    name: str
    levels: dict[str, str]
    flags: frozenset[str]
    languages: list[str]
    party: str
    guardian: str
    age: int | None

    @property
    def mailbox(self) -> str:
        """An address in a reserved domain; a minor has the guardian's."""
        first, _, last = self.name.lower().partition(" ")
        place = "hollin" if {"organiser", "supervisor"} & self.flags else "volunteers"
        return f"{first}.{last}@{place}.example"


def people() -> list[PersonLine]:
    """Return everybody of the season, in the order of the file."""
    with (FOLDER / "people.csv").open(encoding="utf-8", newline="") as lines:
        return [_person(row) for row in csv.DictReader(lines)]


def _person(row: dict[str, str]) -> PersonLine:
    pairs = [pair.split("=") for pair in row["levels"].split(";") if pair]
    return PersonLine(
        name=row["name"],
        levels=dict(pairs),
        flags=frozenset(row["flags"].split()),
        languages=row["languages"].split(),
        party=row["party"],
        guardian=row["guardian"],
        age=int(row["age"]) if row["age"] else None,
    )


def cemeteries() -> list[dict[str, Any]]:
    """Return the cemeteries with their sections; rows hold one two-letter word a place.

    The first letter is the type (t tablet, h shouldered, o obelisk, p pedestal, l ledger,
    f footstone, m flush, x other), the second what the survey found (c growth, r leaning,
    v broken, x sugaring, s sound, a not measured, n not seen); two dots are a gap.
    ``measured`` says what little was measured: "outline" of the section, or "nothing".
    """
    found: list[dict[str, Any]] = json.loads((FOLDER / "ground.json").read_text(encoding="utf-8"))
    return found
