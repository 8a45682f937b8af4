"""Who may be added at the gate, or placed by hand: the day, the room, who signs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from workdays.rules.counting import counted
from workdays.rules.parties import age_on
from workdays.rules.refusals import Refusal
from workdays.rules.roll import EARLY, refusals_shut
from workdays.rules.signed_text import same_name

METHOD = "on the device at the gate"


@dataclass(frozen=True, slots=True)
class Room:
    """Places of a day. ``first``: how many wait for one of those that are free."""

    capacity: int
    taken: int
    first: int = 0

    @property
    def free(self) -> int:
        """Return how many places may be given without passing the list, never below zero."""
        return max(0, self.capacity - self.taken - self.first)


@dataclass(frozen=True, slots=True)
class Gate:
    """The day at the gate: ``on`` its date there; ``organises``: who adds may go over capacity."""

    state: str
    ends_at: datetime
    on: date
    adult_age: int
    room: Room
    organises: bool


@dataclass(frozen=True, slots=True)
class Child:
    """A minor at the gate. ``guardian``: the name of an adult who is there with a valid waiver."""

    born_on: date
    guardian: str
    relation: str
    agrees: bool


@dataclass(frozen=True, slots=True)
class Comer:
    """Somebody at the gate. ``born_on``: where known before. ``signed``: what they signed holds.

    ``lacks``: places wanted, with those for whom they brought along; 0 for who has one.
    """

    name: str
    typed_name: str
    lacks: int
    signed: bool
    text_current: bool
    reason: str
    born_on: date | None = None
    child: Child | None = None


def refusals_to_add(gate: Gate, comer: Comer, *, now: datetime) -> list[Refusal]:
    """Return why somebody cannot be added at the gate."""
    found = refusals_shut(gate.state)
    if not found and now > gate.ends_at + EARLY:
        found.append(Refusal("over", "This day is over."))
    found += _about_age(gate, comer)
    if not comer.signed:
        found += _about_signing(comer)
    return found + refusals_of_room(
        gate.room, organises=gate.organises, reason=comer.reason, people=comer.lacks
    )


def refusals_of_room(room: Room, *, organises: bool, reason: str, people: int = 1) -> list[Refusal]:
    """Return why so many places cannot be given: a full day wants the organiser and a reason."""
    if room.free >= people or (organises and reason):
        return []
    full = f"{room.taken} of {room.capacity} places are taken"
    if room.first:
        wait = counted(room.first, "person waits", "people wait").lower()
        full = f"{full}, and {wait} for a place"
    if not organises:
        return [Refusal("full", f"{full}: ask the organiser, who may go over.")]
    return [Refusal("full", f"{full}: say why this person comes all the same.")]


def _about_age(gate: Gate, comer: Comer) -> list[Refusal]:
    child = comer.child
    born_on = child.born_on if child else comer.born_on
    if born_on and born_on > gate.on:
        return [Refusal("born_on", "This date has not come yet.")]
    is_minor = born_on is not None and age_on(born_on, gate.on) < gate.adult_age
    if child is None:
        sentence = f"{comer.name} is under {gate.adult_age}: a guardian signs."
        return [Refusal("minor", sentence)] if is_minor else []
    if not is_minor:
        sentence = f"Born then, somebody is {gate.adult_age} or older and signs for themselves."
        return [Refusal("born_on", sentence)]
    found = []
    if not child.guardian:
        sentence = "The guardian must be on the list with a valid waiver: add them first."
        found.append(Refusal("guardian", sentence))
    if not child.relation:
        found.append(Refusal("relation", "Say what the guardian is to the child."))
    if not child.agrees:
        found.append(Refusal("agrees", "The child says yes to the rules, or watches from outside."))
    return found


def _about_signing(comer: Comer) -> list[Refusal]:
    found = []
    if not comer.text_current:
        sentence = "The text has changed since this page was opened. Please read it once more."
        found.append(Refusal("waiver", sentence))
    signer = comer.child.guardian if comer.child else comer.name
    if signer and not same_name(comer.typed_name, signer):
        found.append(Refusal("typed_name", f"The name of who signs is typed here: {signer}."))
    return found
