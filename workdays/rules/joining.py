"""When two rows of people may be joined as one human being, and what speaks against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import same_name


@dataclass(frozen=True, slots=True)
class OneRow:
    """One row of a person. ``signed_as``: names typed when they signed for themselves.

    ``others``: rows that were joined into this one; ``is_joined``: it is joined into another.
    """

    number: int
    is_adult: bool = True
    born_on: date | None = None
    signed_as: Sequence[str] = ()
    logs_in: bool = False
    confirmed: bool = True
    is_joined: bool = False
    others: int = 0


@dataclass(frozen=True, slots=True)
class Pair:
    """Two rows that may be one human.

    ``shared_days``: days to come on whose list both stand. ``guardian``: one is the other's
    guardian. ``staff_elsewhere``: one has a role where whoever joins them does not organise.
    """

    one: OneRow
    other: OneRow
    shared_days: Sequence[str] = ()
    guardian: bool = False
    staff_elsewhere: bool = False


def which_stays(one: OneRow, other: OneRow) -> int:
    """Return the row by which both are known from then on.

    Whoever logs in; else who has rows joined already; else who answered a mail; else the older.
    """
    order = sorted(
        (one, other),
        key=lambda row: (not row.logs_in, not row.others, not row.confirmed, row.number),
    )
    return order[0].number


def refusals_to_join(pair: Pair) -> list[Refusal]:
    """Return why these two cannot be joined, whatever anybody says."""
    one, other = pair.one, pair.other
    if one.number == other.number:
        return [Refusal("same", "This is the same row already.")]
    found = []
    if one.is_joined or other.is_joined:
        found.append(Refusal("joined", "One of them is joined already: part those first."))
    gone = other if which_stays(one, other) == one.number else one
    if gone.others:
        sentence = "Others are joined to the one that would not stay: part those first."
        found.append(Refusal("joined", sentence))
    if one.logs_in and other.logs_in:
        found.append(Refusal("logins", "Both log in: end the role of one first."))
    if pair.staff_elsewhere:
        sentence = (
            "One of them has a role at a cemetery that you do not organise: "
            "ask an organiser of the whole programme."
        )
        found.append(Refusal("staff", sentence))
    if pair.guardian:
        found.append(Refusal("guardian", "One is the guardian of the other: they are two people."))
    found += [
        Refusal("day", f"Both are on the list of {day}: withdraw one of the two first.")
        for day in pair.shared_days
    ]
    return found


def doubts(pair: Pair) -> list[str]:
    """Return what speaks against it and is for a person to judge, who gives a reason."""
    one, other, found = pair.one, pair.other, []
    if one.born_on and other.born_on and one.born_on != other.born_on:
        found.append("The birth dates differ.")
    if one.is_adult != other.is_adult:
        found.append("One is noted as an adult, the other as a minor.")
    if one.signed_as and other.signed_as and not _signed_alike(one.signed_as, other.signed_as):
        found.append("They signed under different names.")
    return found


def _signed_alike(these: Sequence[str], those: Sequence[str]) -> bool:
    return any(same_name(one, other) for one in these for other in those)


def refusals_without_reason(pair: Pair, reason: str) -> list[Refusal]:
    """Return that a reason is missing where something speaks against it."""
    if not doubts(pair) or reason.strip():
        return []
    return [Refusal("reason", "Say why they are one person all the same.")]
