"""Seats in other people's cars: who may ask whom, and that no seat is given twice.

Common practice, no source. The programme arranges no transport: two adults who both agree get
each other's name and number, and decide alone.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from workdays.rules.counting import counted
from workdays.rules.refusals import Refusal

MOST_SEATS = 8
MOST_ASKED = 2


class State(StrEnum):
    """Where one question about seats stands; the words in which it is stored."""

    ASKED = "asked"
    AGREED = "agreed"
    REFUSED = "refused"
    TAKEN_BACK = "taken_back"
    ENDED = "ended"


LIVE = frozenset({State.ASKED, State.AGREED})


@dataclass(frozen=True, slots=True)
class Traveller:
    """Somebody who offers or wants seats. `given`, `got`: seats that both sides agreed on."""

    comes: bool
    adult: bool
    offered: int = 0
    wanted: int = 0
    given: int = 0
    got: int = 0

    @property
    def left(self) -> int:
        """Return how many seats can still be asked for."""
        return max(0, self.offered - self.given) if self.comes and self.adult else 0

    @property
    def still_wants(self) -> int:
        """Return how many seats are still wanted."""
        return max(0, self.wanted - self.got) if self.comes and self.adult else 0


def seats_between(driver: Traveller, rider: Traveller) -> int:
    """Return how many seats the one can give the other."""
    return min(driver.left, rider.still_wants)


def refusals_to_ask(
    driver: Traveller, rider: Traveller, earlier: Iterable[State], *, day_is_ahead: bool
) -> list[Refusal]:
    """Return why a question may not be put. `earlier`: of the two, whoever asked."""
    before = list(earlier)
    if not day_is_ahead:
        return [Refusal("over", "It is too late to ask for seats on this day.")]
    if not (driver.adult and rider.adult):
        return [Refusal("minor-seats", "Seats for a minor go through the guardian.")]
    if LIVE.intersection(before):
        return [Refusal("asked", "There is a question between the two of you already.")]
    if State.REFUSED in before or len(before) >= MOST_ASKED:
        return [Refusal("answered", "They have been asked before; please ask somebody else.")]
    if not seats_between(driver, rider):
        return [Refusal("no-seat", "That seat is no longer to be had, or you want none.")]
    return []


def refusals_to_agree(
    driver: Traveller, rider: Traveller, seats: int, state: State, *, day_is_ahead: bool
) -> list[Refusal]:
    """Return why nobody can agree to this question any more."""
    if state is not State.ASKED or not day_is_ahead:
        return [Refusal("over", "There is nothing to answer here any more.")]
    if seats_between(driver, rider) < seats:
        return [Refusal("no-seat", "There are no longer so many seats, or they found another.")]
    return []


def refusals_to_say(said: Traveller) -> list[Refusal]:
    """Return why somebody may not say that they offer and want so many seats."""
    if not said.adult and (said.offered or said.wanted):
        sentence = "Seats for a minor go through the guardian, who says how many they need."
        return [Refusal("minor-seats", sentence)]
    if said.offered and said.wanted:
        return [Refusal("both-seats", "Offer seats or want seats, not both.")]
    refusals = []
    if said.offered < said.given:
        seats = counted(said.given, "seat is", "seats are").lower()
        sentence = f"Already {seats} given: take that back first, on the page of seats."
        refusals.append(Refusal("seats-given", sentence))
    if said.wanted < said.got:
        seats = counted(said.got, "seat is", "seats are").lower()
        sentence = f"Already {seats} found: take that back first, on the page of seats."
        refusals.append(Refusal("seats-got", sentence))
    return refusals
