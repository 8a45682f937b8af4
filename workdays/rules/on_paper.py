"""Whether a waiver signed on paper can be noted: its date, and who may sign for whom."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from workdays.rules.refusals import Refusal

AFFIRMED = "Signed by hand under the text, on paper."
METHOD = "on paper, noted by the staff"


@dataclass(frozen=True, slots=True)
class Paper:
    """What a paper says: the date on it, by whom it is signed, what they are to a minor.

    ``agrees``: a minor's own name stands under the rules.
    """

    signed_on: date
    by_guardian: bool
    relation: str = ""
    agrees: bool = False


@dataclass(frozen=True, slots=True)
class Signer:
    """For whom it is noted: a minor on the day, and whose guardian is known."""

    name: str
    is_minor: bool
    has_guardian: bool
    adult_age: int


def refusals_to_note(
    paper: Paper, signer: Signer, *, published_on: date, today: date
) -> list[Refusal]:
    """Return why a paper cannot be noted; dates by the clock of the place."""
    found = []
    if paper.signed_on > today:
        found.append(Refusal("signed_on", "This date has not come yet."))
    elif paper.signed_on < published_on:
        sentence = "This text was not published yet on that date: look at version and date."
        found.append(Refusal("signed_on", sentence))
    return found + _about_who_signs(paper, signer)


def _about_who_signs(paper: Paper, signer: Signer) -> list[Refusal]:
    age = signer.adult_age
    if not signer.is_minor:
        sentence = f"{signer.name} is {age} or older on the day and signs alone."
        return [Refusal("role", sentence)] if paper.by_guardian else []
    if not paper.by_guardian:
        sentence = f"{signer.name} is under {age} on the day: a guardian signs."
        return [Refusal("role", sentence)]
    found = []
    if not signer.has_guardian:
        sentence = "No guardian is noted for this minor: add both at the gate."
        found.append(Refusal("role", sentence))
    if not paper.relation:
        found.append(Refusal("relation", "Say what the guardian is to the child."))
    if not paper.agrees:
        sentence = "The child says yes to the rules too, or watches from outside."
        found.append(Refusal("agrees", sentence))
    return found
