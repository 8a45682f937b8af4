"""People who come together: whom an adult may name, who goes along, who may not be left alone.

An adult named by another gets a link of their own and signs for themselves; a minor comes with the
adult who signs up, who signs for the named child. A party has places together or waits together.
Two adults where there are minors: common practice, no source. Local law and the owner's rules go
first.
"""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from workdays.rules.counting import counted
from workdays.rules.refusals import Refusal
from workdays.rules.signed_text import same_name

MOST_NAMED = 7
FEWEST_ADULTS = 2
EARLIEST_BIRTH = date(1900, 1, 1)
EVENING = time(18)


@dataclass(frozen=True, slots=True)
class Companion:
    """One person as an adult named them: a mailbox makes an adult, a birth date a minor.

    ``line`` is the number of the line in which the name was typed. ``signs``: the adult who signs
    up signs for this child; ``agrees``: the child has read or heard the rules and agrees.
    """

    line: int
    name: str
    email: str = ""
    born_on: date | None = None
    relation: str = ""
    agrees: bool = False
    signs: bool = False

    @property
    def is_minor(self) -> bool:
        """Return whether a guardian signs for this person."""
        return self.born_on is not None


@dataclass(frozen=True, slots=True)
class Ages:
    """Against what ages are counted: the date of the day, and the age of adults at the place."""

    on: date
    adult: int


def age_on(born_on: date, on: date) -> int:
    """Return the age in full years; who was born on 29 February is older from 1 March."""
    return on.year - born_on.year - ((on.month, on.day) < (born_on.month, born_on.day))


def code(field: str, line: int) -> str:
    """Return the code of a refusal beside one field of one line of the form."""
    return f"with{line}_{field}"


def refusals_of(named: Sequence[Companion], *, mailbox: str, ages: Ages) -> list[Refusal]:
    """Return what is wrong with the people whom an adult with this mailbox names."""
    found = [refusal for one in named for refusal in _of_one(one, ages)]
    if len(named) > MOST_NAMED:
        sentence = f"Name at most {MOST_NAMED} people here; a group asks for places of its own."
        found.append(Refusal("companions", sentence))
    return [*found, *_mailboxes(named, mailbox), *_children_twice(named)]


def _of_one(one: Companion, ages: Ages) -> list[Refusal]:
    if not one.name:
        return [Refusal(code("name", one.line), "Write the name of this person.")]
    if one.email and one.born_on:
        sentence = "Give a mailbox for an adult or a birth date for a child, not both."
        return [Refusal(code("email", one.line), sentence)]
    if one.email:
        return []
    if one.born_on is None:
        sentence = "Give the mailbox of an adult, or the birth date of a child."
        return [Refusal(code("email", one.line), sentence)]
    return _of_birth(one, one.born_on, ages) or _of_child(one)


def _of_birth(one: Companion, born_on: date, ages: Ages) -> list[Refusal]:
    where = code("born_on", one.line)
    if born_on < EARLIEST_BIRTH:
        return [Refusal(where, "Nobody born before 1900 comes: look at the year.")]
    if born_on >= ages.on:
        return [Refusal(where, "This is not before the day: look at the year.")]
    if age_on(born_on, ages.on) >= ages.adult:
        sentence = (
            f"This person is {ages.adult} or older on the day and signs for themselves: "
            "give their own mailbox instead."
        )
        return [Refusal(where, sentence)]
    return []


def _of_child(one: Companion) -> list[Refusal]:
    missing = {
        "relation": "" if one.relation else "Say what you are to this child.",
        "signs": "" if one.signs else "A child comes with a parent or legal guardian who signs.",
        "agrees": "" if one.agrees else "The child must know the rules and agree to them, too.",
    }
    return [Refusal(code(field, one.line), said) for field, said in missing.items() if said]


def _mailboxes(named: Sequence[Companion], mailbox: str) -> list[Refusal]:
    seen = Counter([mailbox.lower()] if mailbox else [])
    found = []
    for one in named:
        if one.email and seen[one.email.lower()]:
            sentence = "This mailbox stands here twice; each adult needs one of their own."
            found.append(Refusal(code("email", one.line), sentence))
        seen[one.email.lower()] += 1
    return found


def _children_twice(named: Sequence[Companion]) -> list[Refusal]:
    sentence = "This child stands here twice; clear one of the two lines."
    return [
        Refusal(code("name", one.line), sentence)
        for at, one in enumerate(named)
        if one.is_minor and any(is_same_child(one, before) for before in named[:at])
    ]


def is_same_child(one: Companion, other: Companion) -> bool:
    """Return whether two lines name one child: born on one day, with one name."""
    return one.born_on == other.born_on and same_name(one.name, other.name)


def already_there(named: Sequence[Companion], there: Iterable[Companion]) -> list[Refusal]:
    """Return which children somebody names who are on the list of the day already."""
    children = [one for one in there if one.is_minor]
    sentence = "This child is on the list of this day already: clear this line."
    return [
        Refusal(code("name", one.line), sentence)
        for one in named
        if any(is_same_child(one, child) for child in children)
    ]


def too_many_for(people: int, capacity: int) -> list[Refusal]:
    """Return why a party can never have places together on a day of so many places."""
    if people <= capacity:
        return []
    sentence = f"You are {people}, and the day has {capacity} places in all: please telephone us."
    return [Refusal("companions", sentence)]


def adults_lacking(*, adults: int, minors: int) -> str:
    """Return the sentence about a day on which minors come with too few adults, or nothing."""
    if not minors or adults >= FEWEST_ADULTS:
        return ""
    who = "one adult comes" if adults else "no adult comes"
    return f"Minors come, but only {who}: at least two adults must be there (common practice)."


def adults_words(*, adults: int, minors: int) -> str:
    """Return how minors and adults of a day stand to each other; nothing without minors."""
    if not minors:
        return ""
    who = counted(minors, "minor", "minors").lower()
    return f"{who}, two adults {'there' if adults >= FEWEST_ADULTS else 'needed'}"


@dataclass(frozen=True, slots=True)
class Member:
    """Somebody who was signed up by another; ``asked``: an own link has been mailed to them."""

    number: int
    is_minor: bool
    asked: bool


def goes_along(members: Iterable[Member]) -> list[int]:
    """Return who leaves the day with whoever signed them up: minors, and adults not yet asked."""
    return [one.number for one in members if one.is_minor or not one.asked]


def warned_from(cut_off: datetime) -> datetime:
    """Return the evening before a cut-off, by the wall clock of the moment given."""
    return datetime.combine(cut_off.date() - timedelta(days=1), EVENING, tzinfo=cut_off.tzinfo)
