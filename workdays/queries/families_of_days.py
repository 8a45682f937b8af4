"""Who comes with whom on a day, for the own page of whoever signed them up."""

from dataclasses import dataclass

from workdays.models import SignUp
from workdays.queries.sign_ups import came_with
from workdays.queries.waivers import people_with_waiver
from workdays.rules.eligibility import State

WORDS = {
    State.UNCONFIRMED: "has not answered yet",
    State.WAITING: "on the waiting list",
    State.OFFERED: "waits for your answer",
    State.COMING: "comes",
}


@dataclass(frozen=True)
class WithYou:
    """Somebody whom a person signed up: name, how it stands, whether a waiver holds."""

    row: SignUp
    name: str
    words: str
    has_waiver: bool

    @property
    def is_ward(self) -> bool:
        """Return whether the person is a minor who comes with the reader."""
        return self.row.guardian_id is not None


def with_you(row: SignUp) -> list[WithYou]:
    """Return whom this person signed up for the day, minors first; a fixed number of statements."""
    rows = came_with(row)
    signed = people_with_waiver(row.day, [other.person_id for other in rows])
    lines = [
        WithYou(other, other.person.name, WORDS[State(other.state)], other.person_id in signed)
        for other in rows
    ]
    return sorted(lines, key=lambda line: (not line.is_ward, line.name))
