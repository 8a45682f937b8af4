"""The people of a day as a file for a spreadsheet."""

import csv
import io
from collections.abc import Iterable

from workdays.queries.day_people import PersonRow

HEADINGS = (
    "Name",
    "State",
    "Party",
    "Party led by",
    "Minor",
    "Guardian",
    "Languages",
    "Telephone",
    "E-mail",
    "In an emergency",
    "Their telephone",
    "Presence",
    "Brings",
    "Levels",
    "Would like to learn",
    "Limits",
    "Waiver",
    "Missed before",
    "Words",
)
STARTS_A_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")


def harmless(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula.

    Source: OWASP, "CSV Injection" (from memory): a quote before = + - @ tab and line ends.
    """
    return f"'{cell}" if cell.startswith(STARTS_A_FORMULA) else cell


def _cells(row: PersonRow) -> tuple[str, ...]:
    sign_up, person = row.sign_up, row.sign_up.person
    return (
        person.name,
        str(sign_up.get_state_display()),
        sign_up.party.name if sign_up.party else "",
        sign_up.party.leader.name if sign_up.party and sign_up.party.leader else "",
        "yes" if row.is_minor else "",
        sign_up.guardian.name if sign_up.guardian else "",
        row.languages,
        person.telephone,
        person.email,
        person.emergency_name,
        person.emergency_telephone,
        row.presence,
        row.brings,
        row.levels,
        sign_up.wishes.name if sign_up.wishes else "",
        row.limits,
        row.waiver,
        row.missed,
        sign_up.words,
    )


def people_csv(rows: Iterable[PersonRow]) -> str:
    """Return the rows as CSV (RFC 4180) with headings, and a mark by which sheets see UTF-8."""
    out = io.StringIO()
    out.write("\ufeff")
    writer = csv.writer(out)
    writer.writerow(HEADINGS)
    for row in rows:
        writer.writerow([harmless(cell) for cell in _cells(row)])
    return out.getvalue()
