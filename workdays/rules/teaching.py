"""How many people who are new to what a clinic teaches can be taught at once."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from training.rules.standing import Level
from workdays.rules.counting import measured


@dataclass(frozen=True, slots=True)
class Teaching:
    """What the list of a clinic must know: places for new people, and who is new.

    ``places`` None: no limit, for the day teaches nothing. ``new``: ids of people.
    """

    places: int | None = None
    new: frozenset[int] = frozenset()
    teachers: int = 0

    def learners(self, people: int, known: int | None) -> int:
        """Return how many of a new party are new to it; ``known``: who of them was here before."""
        if self.places is None:
            return 0
        return people - (known is not None and known not in self.new)


@dataclass(frozen=True, slots=True)
class Limit:
    """What sets the limit of a clinic: the skill, new people for each supervisor, supervisors.

    ``expected``: supervisors whom the organiser counts on, be they signed up or not.
    """

    skill: str
    each: int
    expected: int


def each_of(*, of_day: int | None, of_clinics: int, beside_work: int | None) -> int:
    """Return how many new people one supervisor takes on: the day's word goes first.

    Else the cemetery's settings: ``beside_work`` is how many may be beside one supervisor of work
    that needs one, as a reset does; None for a skill without such work.
    """
    if of_day is not None:
        return of_day
    return of_clinics if beside_work is None else min(of_clinics, beside_work)


def teaching(
    limit: Limit, levels: Mapping[int, Mapping[str, Level]], coming: Iterable[int]
) -> Teaching:
    """Return places for new people and who is new, from everybody's levels and who comes.

    New is who has not been taught the skill at this place, by whatever they say of themselves.
    """
    held = {person: skills.get(limit.skill, Level.NEW) for person, skills in levels.items()}
    there = sum(held.get(person, Level.NEW) >= Level.SUPERVISOR for person in coming)
    teachers = max(limit.expected, there)
    new = frozenset(person for person, level in held.items() if level < Level.TAUGHT)
    return Teaching(limit.each * teachers, new, teachers)


def words(skill_name: str, *, places: int, taken: int, in_all: int | None = None) -> str:
    """Return what is left for people new to a skill, for the page of the day.

    ``in_all``: places left for anybody; where these are no more, nothing further is to be said.
    """
    left = max(0, places - taken)
    if in_all is not None and in_all <= left:
        return ""
    who = f"people who are new to {skill_name.lower()}"
    if not left:
        return f"No place is left for {who}; they go on the waiting list."
    return f"{measured(left, 'place')} of {places} left for {who}."
