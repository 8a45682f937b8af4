"""Which papers can be noted."""

from dataclasses import replace
from datetime import date

import pytest

from workdays.rules.on_paper import Paper, Signer, refusals_to_note

TODAY = date(2026, 5, 2)
ADULT = Signer("Ana", is_minor=False, has_guardian=False, adult_age=18)
CHILD = Signer("Bo", is_minor=True, has_guardian=True, adult_age=18)
OWN = Paper(TODAY, by_guardian=False)
GIVEN = Paper(TODAY, by_guardian=True, relation="mother", agrees=True)


@pytest.mark.parametrize(
    ("paper", "signer", "codes"),
    [
        (OWN, ADULT, []),
        (GIVEN, CHILD, []),
        (replace(OWN, signed_on=date(2026, 5, 3)), ADULT, ["signed_on"]),
        (replace(OWN, signed_on=date(2026, 3, 31)), ADULT, ["signed_on"]),
        (replace(OWN, signed_on=date(2026, 4, 1)), ADULT, []),
        (OWN, CHILD, ["role"]),
        (GIVEN, ADULT, ["role"]),
        (GIVEN, replace(CHILD, has_guardian=False), ["role"]),
        (replace(GIVEN, relation="", agrees=False), CHILD, ["relation", "agrees"]),
    ],
)
def test_a_paper_is_noted_as_it_was_signed_or_not_at_all(
    paper: Paper, signer: Signer, codes: list[str]
) -> None:
    found = refusals_to_note(paper, signer, published_on=date(2026, 4, 1), today=TODAY)
    assert [refusal.code for refusal in found] == codes
