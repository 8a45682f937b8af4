"""Which pictures of work the public may see: with the owner's leave, people and families spared."""

from dataclasses import dataclass
from datetime import date

from workdays.rules.refusals import Refusal

SHORTEST_WORDS = 8


@dataclass(frozen=True, slots=True)
class PairFacts:
    """A picture before and one after work. `leave_on`: since when the owner allows it, or None.

    `family_refused`: a family of the stone has refused some leave and is spared this too.
    """

    leave_on: date | None
    shows_people: bool = False
    is_pair: bool = True
    family_refused: bool = False


def refusals_to_show(pair: PairFacts, *, today: date) -> list[Refusal]:
    """Return why the public may not see a pair of pictures; empty: it may."""
    refusals = []
    if pair.leave_on is None or pair.leave_on > today:
        sentence = "The owner has not given leave to show pictures of this cemetery."
        refusals.append(Refusal("no-leave", sentence))
    if not pair.is_pair:
        sentence = "Only a pair, before and after work, is shown."
        refusals.append(Refusal("no-pair", sentence))
    if pair.shows_people:
        refusals.append(Refusal("people", "It shows people: take one without them."))
    if pair.family_refused:
        sentence = "A family of this stone has refused its leave; its stone is not shown."
        refusals.append(Refusal("family", sentence))
    return refusals


def refusals_to_allow(on: date | None, words: str, *, today: date) -> list[Refusal]:
    """Return why the owner's leave cannot be noted; both empty ends it."""
    if on is None and not words.strip():
        return []
    if on is None:
        return [Refusal("no-date", "Since when? Empty both fields to end the leave.")]
    refusals = []
    if on > today:
        refusals.append(Refusal("no-date", "A leave is noted once it is given: this is to come."))
    if len(words.strip()) < SHORTEST_WORDS:
        sentence = "Say who gave this leave, when, and where it is written."
        refusals.append(Refusal("no-words", sentence))
    return refusals
