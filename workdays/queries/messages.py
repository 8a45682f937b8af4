"""Whom a message to a day's people would reach, and what was written to them before."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from django.db.models import Prefetch

from coordinator.models import Person
from workdays.models import DayMessage, MessageTo, Party, Workday
from workdays.queries import naming
from workdays.queries.day_people import PARTS, PartNames, PersonRow, part_names, part_of, people_of
from workdays.queries.told import Unseen, mail_words
from workdays.rules import messages as rules
from workdays.rules.desk import bring_part, level_part
from workdays.rules.messages import Addressed, Reach
from workdays.rules.turnout import level_of_key

EVERYBODY, GUARDIANS, TICKED = "everybody", "guardians", "ticked"
NO_MAILBOX = "no mailbox: ring"


@dataclass(frozen=True)
class Addressee:
    """Somebody a message is for. ``guardian``: of a minor; ``row`` is missing for a guardian."""

    person: Person
    guardian: Person | None = None
    row: PersonRow | None = None

    @property
    def state(self) -> str:
        """Return how they stand on the list, in words."""
        return str(self.row.sign_up.get_state_display()) if self.row else "guardian"

    @property
    def reader(self) -> Person:
        """Return whose mailbox it goes to."""
        return self.guardian if self.guardian and not self.person.email else self.person


@dataclass(frozen=True)
class ToMailbox:
    """One mail: its mailbox and whom it is for."""

    mailbox: str
    people: Sequence[Addressee]

    @property
    def readers(self) -> list[Person]:
        """Return who reads it, each once."""
        return list({one.reader.pk: one.reader for one in self.people}.values())

    @property
    def names(self) -> str:
        """Return whom it is for, with the guardian who reads it for a minor."""
        return ", ".join(_named(one) for one in self.people)


@dataclass(frozen=True)
class Audience:
    """Everybody of a part of the list: by mail, and those to ring."""

    reach: Reach
    mails: Sequence[ToMailbox]
    to_ring: Sequence[Unseen]

    @property
    def total(self) -> int:
        """Return how many people they are."""
        return sum(len(mail.people) for mail in self.mails) + len(self.to_ring)


def _named(one: Addressee) -> str:
    if one.reader is one.person:
        return one.person.name
    return f"{one.person.name} by {one.reader.name}"


def audience(people: Sequence[PersonRow], part: str, ticked: Iterable[int] = ()) -> Audience:
    """Return whom a message to a part of the list reaches. ``ticked``: numbers of sign-ups."""
    every = {one.person.pk: one for one in _addressees(people, part, frozenset(ticked))}
    found = rules.reach(_addressed(one) for one in every.values())
    return Audience(
        reach=found,
        mails=[ToMailbox(box, [every[pk] for pk in pks]) for box, pks in found.mailboxes.items()],
        to_ring=[
            Unseen(every[pk].person, every[pk].guardian, every[pk].state, NO_MAILBOX)
            for pk in found.to_ring
        ],
    )


def _addressed(one: Addressee) -> Addressed:
    by_guardian = one.guardian.email if one.guardian else ""
    return Addressed(one.person.pk, one.person.email, by_guardian)


def _addressees(people: Sequence[PersonRow], part: str, ticked: frozenset[int]) -> list[Addressee]:
    if part == GUARDIANS:
        wards = (row.sign_up for row in people if row.is_minor)
        return [Addressee(ward.guardian) for ward in wards if ward.guardian]
    if part == TICKED:
        rows = [row for row in people if row.sign_up.pk in ticked]
    else:
        rows = list(people) if part == EVERYBODY else part_of(people, part)
    return [
        Addressee(row.sign_up.person, row.sign_up.guardian if row.is_minor else None, row)
        for row in rows
    ]


def audience_of_day(day: Workday, part: str, ticked: Iterable[int] = ()) -> Audience:
    """Return whom a message reaches as the list is now."""
    return audience(people_of(day, part_names()), part, ticked)


@dataclass(frozen=True)
class Written:
    """One message as it is read again: to whom, and what came of each mail."""

    message: DayMessage
    at: str
    part: str
    tally: str
    to: Sequence[tuple[str, str]]


def written(day: Workday) -> list[Written]:
    """Return what was written to the people of a day, the newest first; five statements."""
    to = MessageTo.objects.select_related("person", "mail")
    rows = DayMessage.objects.filter(day=day).select_related("by")
    names = part_names()
    parties = {
        str(pk): name for pk, name in Party.objects.filter(day=day).values_list("pk", "name")
    }
    return [
        _written(day, row, _part_words(row.part, names, parties))
        for row in rows.prefetch_related(Prefetch("to", to))
    ]


def _written(day: Workday, row: DayMessage, part: str) -> Written:
    to = [
        (one.person.name, mail_words(day, one.mail) if one.mail else NO_MAILBOX)
        for one in row.to.all()
    ]
    many = Counter("mailed" if words.startswith("mailed") else words for _name, words in to)
    return Written(
        message=row,
        at=naming.moment_name(day, row.at),
        part=part,
        tally=", ".join(f"{count} {words}" for words, count in many.items()),
        to=to,
    )


def _part_words(part: str, names: PartNames, parties: dict[str, str]) -> str:
    """Return what a part was called; the name of a party goes with the party."""
    kind, _, which = part.partition("-")
    said = {EVERYBODY: "everybody", GUARDIANS: "guardians of minors", TICKED: "chosen people"}
    if kind == "party":
        return parties.get(which) or "a party"
    if kind == "brings":
        return bring_part(names.equipment.get(which, which))
    if found := level_of_key(part):
        return level_part(names.skills.get(found[0], found[0]), found[1])
    return (said | PARTS).get(part, "a part of the list")
