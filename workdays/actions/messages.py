"""Send what an organiser wrote to the people of a day: one mail a mailbox, once."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db import transaction

from coordinator import audit, links, outbox
from coordinator.models import Person, SentMessage
from coordinator.refused import Refused, refuse
from workdays.models import DayMessage, MessageTo, SignUp, Workday
from workdays.queries import naming
from workdays.queries.days import hours_words
from workdays.queries.locking import locked_day
from workdays.queries.messages import Audience, ToMailbox, audience_of_day
from workdays.queries.sign_ups import ANSWER, CONFIRM, confirm_state
from workdays.rules.initials import initials
from workdays.rules.messages import CHANGED, REPEATED_WITHIN, refusals_to_send

VERB = "wrote to people"


@dataclass(frozen=True)
class Draft:
    """What was written, to which part of the list, and which preview of it was read.

    ``sign_ups``: who was ticked one by one. ``press``: one for each preview that was shown.
    """

    subject: str
    text: str
    part: str
    sign_ups: Sequence[int]
    seen: str
    press: UUID | None


@dataclass(frozen=True)
class Sent:
    """A message, how many mails, how many to ring; ``repeated``: it had gone before."""

    message: DayMessage
    mails: int
    to_ring: int
    repeated: bool = False


@transaction.atomic
def send_message(day_id: int, draft: Draft, *, by: Person, now: datetime) -> Sent:
    """Mail a message to all whom the preview named. Raises Refused when the list has changed."""
    day = locked_day(day_id)
    press = draft.press
    if press is None:
        raise Refused([CHANGED])
    if before := _sent_before(day, draft, press, now):
        return Sent(before, *_tally(before), repeated=True)
    found = audience_of_day(day, draft.part, draft.sign_ups)
    refuse(refusals_to_send(found.reach, seen=draft.seen))
    message = DayMessage.objects.create(
        day=day,
        subject=draft.subject,
        text=draft.text,
        part=draft.part,
        press=press,
        reach_sha256=draft.seen,
        by=by,
        at=now,
    )
    _mail_all(message, found)
    told = {"message": message.pk, "mails": len(found.mails), "to_ring": len(found.to_ring)}
    audit.record(audit.by_login(by), VERB, day, told | {"part": draft.part})
    return Sent(message, len(found.mails), len(found.to_ring))


def _sent_before(day: Workday, draft: Draft, press: UUID, now: datetime) -> DayMessage | None:
    """Return this message if it went already, by this press or by another one just now."""
    rows = DayMessage.objects.filter(day=day)
    same = rows.filter(subject=draft.subject, text=draft.text, reach_sha256=draft.seen)
    return (
        rows.filter(press=press).first()
        or same.filter(at__gt=now - REPEATED_WITHIN, at__lte=now).first()
    )


def _tally(message: DayMessage) -> tuple[int, int]:
    to = list(message.to.values_list("mail", flat=True))
    mails = [mail for mail in to if mail is not None]
    return len(set(mails)), len(to) - len(mails)


def _mail_all(message: DayMessage, found: Audience) -> None:
    rows = []
    for to in found.mails:
        mail = _mail(message, to)
        rows += [MessageTo(message=message, person=one.person, mail=mail) for one in to.people]
    rows += [MessageTo(message=message, person=one.person) for one in found.to_ring]
    MessageTo.objects.bulk_create(rows)


def _mail(message: DayMessage, to: ToMailbox) -> SentMessage:
    """Queue the one mail of a mailbox."""
    day, readers = message.day, to.readers
    context = {
        "subject": message.subject,
        "text": message.text,
        "by": message.by.name,
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "of_child": not any(one.row and one.reader is one.person for one in to.people),
        "pages": _pages(to),
    }
    letter = outbox.compose(
        "workdays/mail/message",
        context,
        reason="a message about a day",
        to_address=to.mailbox,
        person=readers[0] if len(readers) == 1 else None,
    )
    return outbox.queue(letter, key=f"message:{message.pk}:{readers[0].pk}")


def _pages(to: ToMailbox) -> list[tuple[str, str, bool]]:
    """Return for each reader the first letters, the own link, and whether it asks for a "yes"."""
    several = len(to.readers) > 1
    rows = {one.person.pk: one.row.sign_up for one in to.people if one.row}
    pages = []
    for reader in to.readers:
        row = rows.get(reader.pk) if reader.is_provisional else None
        link = _asking(row) if row else links.absolute("own_page", reader.secret)
        pages.append((initials(reader.name) if several else "", link, row is not None))
    return pages


def _asking(row: SignUp) -> str:
    """Return the link by which somebody who has not answered yet does so."""
    name, purpose = ("answer", ANSWER) if row.named_by_id else ("confirm_sign_up", CONFIRM)
    return links.absolute(name, links.make(purpose, row.pk, confirm_state(row)))
