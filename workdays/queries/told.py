"""Who was told what about a day, who said "I have seen this", and whom to telephone."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

from coordinator.models import Person, SentMessage
from workdays.models import Notice, SignUp, Workday
from workdays.notices import guardians_of
from workdays.queries import naming
from workdays.queries.call_words import call_words
from workdays.queries.sign_ups import live_rows

State = SentMessage.State
NO_MAILBOX = "no mailbox: ring from the start"


@dataclass(frozen=True)
class Unseen:
    """Somebody who has not said that they saw a notice; how to reach them, and what was tried."""

    person: Person
    guardian: Person | None
    state: str
    tried: str


@dataclass(frozen=True)
class Round:
    """One thing that people were told: how many, how many saw it, and the others."""

    subject: str
    at: str
    told: int
    seen: int
    others: Sequence[Unseen]
    is_call: bool


@dataclass(frozen=True)
class Concerned:
    """Who would be told of a decision now, and those whom no mail reaches."""

    counts: Sequence[tuple[str, int]]
    by_telephone: Sequence[Unseen]

    @property
    def total(self) -> int:
        """Return how many people they are."""
        return sum(count for _words, count in self.counts)


def rounds(day: Workday) -> list[Round]:
    """Return what people were told about a day, the newest first; three statements."""
    rows = Notice.objects.filter(day=day, person__erased_at__isnull=True).select_related(
        "person", "message", "call"
    )
    notices = sorted(rows, key=lambda row: (-(row.call_id or 0), row.reason))
    guardians = guardians_of(day, [row.person_id for row in notices])
    sign_ups = {row.person_id: row for row in SignUp.objects.filter(day=day)}
    found = []
    for _key, group in groupby(notices, key=lambda row: (row.call_id, row.reason)):
        found.append(_round(day, list(group), guardians, sign_ups))
    return found


def _round(
    day: Workday,
    notices: Sequence[Notice],
    guardians: dict[int, Person],
    sign_ups: dict[int, SignUp],
) -> Round:
    first = notices[0]
    others = [
        Unseen(
            row.person,
            guardians.get(row.person_id),
            _state_words(sign_ups.get(row.person_id)),
            mail_words(day, row.message),
        )
        for row in notices
        if row.seen_at is None
    ]
    subject = call_words(first.call, day).subject if first.call else first.reason.capitalize()
    return Round(
        subject=subject,
        at=naming.moment_name(day, first.created_at),
        told=len(notices),
        seen=len(notices) - len(others),
        others=sorted(others, key=lambda one: (one.tried != NO_MAILBOX, one.person.name)),
        is_call=first.call_id is not None,
    )


def _state_words(row: SignUp | None) -> str:
    return str(row.get_state_display()) if row else ""


def mail_words(day: Workday, message: SentMessage | None) -> str:
    """Return what became of the mail to somebody."""
    if message is None:
        return NO_MAILBOX
    if message.state == State.SENT and message.sent_at:
        return f"mailed {naming.moment_name(day, message.sent_at)}"
    if message.state == State.FAILED:
        return "the mail was refused: ring"
    return "the mail is on its way"


def concerned_by(day: Workday) -> Concerned:
    """Return whom a decision would reach; two statements."""
    rows = live_rows(day)
    guardians = guardians_of(day, [row.person_id for row in rows])
    states = [row.get_state_display() for row in rows]
    named = [(str(label), states.count(label)) for label in dict.fromkeys(states)]
    unreached = [
        Unseen(row.person, guardians.get(row.person_id), _state_words(row), NO_MAILBOX)
        for row in rows
        if not row.person.email and not _has_mailbox(guardians.get(row.person_id))
    ]
    return Concerned(named, unreached)


def _has_mailbox(guardian: Person | None) -> bool:
    return bool(guardian and guardian.email)
