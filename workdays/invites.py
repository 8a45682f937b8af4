"""The calendar entry of one mailbox for one day: one UID for ever, a SEQUENCE that only rises.

A REQUEST when somebody of the mailbox comes, again when something inside changes; a CANCEL when
the last one withdraws or the day is called off. Nothing is sent twice: the row keeps a digest of
what was sent last, its first half for time and place. Source: RFC 5546, 2.1.4 and 3.2.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings
from django.db import transaction

from coordinator import ics, links, outbox
from coordinator.models import SentMessage
from workdays import invite_words
from workdays.models import Invite, SignUp, Workday
from workdays.queries import naming
from workdays.queries.days import hours_words

State = Invite.State


@dataclass(frozen=True)
class Change:
    """What a message tells: the template's word for it, and whether the calendar asks."""

    word: str
    asks: bool = False


INVITED = Change("invited")
WORDING = Change("wording")
MOVED = Change("moved", asks=True)
AGAIN = Change("again")


@transaction.atomic
def invite(
    day: Workday, mailbox: str, *, now: datetime, rescheduled: bool = False
) -> SentMessage | None:
    """Send what a mailbox must know of a day now; None when it knows already.

    REQUEST while somebody of it comes to a day that is on, else CANCEL for whoever had one.
    A change of time or place raises SEQUENCE, and the calendar asks for an answer; with
    ``rescheduled`` (a new date) the people are asked on their own page too.
    """
    if not mailbox:
        return None
    people = _coming(day, mailbox)
    if not people:
        return _cancel(day, mailbox, reason="", now=now)
    row, _ = Invite.objects.select_for_update().get_or_create(day=day, mailbox=mailbox.lower())
    entry = invite_words.entry(day, people)
    change = _change(row, entry)
    if change is None:
        return None
    if change is MOVED and rescheduled:
        SignUp.objects.filter(pk__in=[p.pk for p in people]).update(question_open=True)
        people = _coming(day, mailbox)
    _raise(row, change)
    row.state, row.content_sha256 = State.LIVE, entry.digest
    return _queue_request(row, entry, people, change, now)


@transaction.atomic
def invite_all(day: Workday, *, now: datetime, rescheduled: bool) -> None:
    """Tell every mailbox of a day what changed.

    ``rescheduled``: the day has a new date, and everybody is asked again; those without a
    mailbox by telephone. Who has answered is not asked twice.
    """
    coming = SignUp.objects.filter(day=day, state=SignUp.State.COMING)
    if rescheduled:
        coming.filter(person__email="").update(question_open=True)
    known = Invite.objects.filter(day=day, state=State.LIVE).values_list("mailbox", flat=True)
    mailboxes = {*coming.values_list("person__email", flat=True), *known}
    for mailbox in sorted({mailbox.lower() for mailbox in mailboxes}):
        invite(day, mailbox, now=now, rescheduled=rescheduled)


@transaction.atomic
def cancel_all(day: Workday, *, reason: str, now: datetime) -> None:
    """Take back every entry of a day that is called off; who never had one gets none."""
    live = Invite.objects.filter(day=day, state=State.LIVE).order_by("mailbox")
    for mailbox in list(live.values_list("mailbox", flat=True)):
        _cancel(day, mailbox, reason=reason, now=now)


def _coming(day: Workday, mailbox: str) -> list[SignUp]:
    if day.state == Workday.State.CALLED_OFF:
        return []
    rows = SignUp.objects.filter(day=day, state=SignUp.State.COMING, person__email__iexact=mailbox)
    return list(rows.select_related("person").order_by("person__name", "pk"))


def _change(row: Invite, entry: invite_words.Entry) -> Change | None:
    """Return what this entry is to the mailbox; None when it is what was sent last."""
    if not row.first_message_id:
        return INVITED
    if row.state == State.CANCELLED:
        return AGAIN
    if row.content_sha256 == entry.digest:
        return None
    return WORDING if row.content_sha256[: invite_words.HALF] == entry.frame else MOVED


def _raise(row: Invite, change: Change) -> None:
    """Raise SEQUENCE where RFC 5546, 2.1.4 asks for it: a new time or place, or on again."""
    if change in (MOVED, AGAIN):
        row.sequence += 1
        row.rescheduled_sequence = row.sequence


def _queue_request(
    row: Invite,
    entry: invite_words.Entry,
    people: Sequence[SignUp],
    change: Change,
    now: datetime,
) -> SentMessage:
    asks = any(person.question_open for person in people)
    facts = _facts(
        row,
        entry,
        now,
        partstat=ics.Partstat.NEEDS_ACTION if change.asks or asks else ics.Partstat.ACCEPTED,
        rsvp=change.asks or asks,
    )
    context = {"change": change.word, "asks": asks, "people": _own_links(people)}
    return _queue(row, entry, "invite", context, ics.request(facts), "REQUEST")


def _cancel(day: Workday, mailbox: str, *, reason: str, now: datetime) -> SentMessage | None:
    """Send the CANCEL of a live entry: its one mailbox leaves, so the whole UID is over."""
    row = (
        Invite.objects.select_for_update()
        .filter(day=day, mailbox=mailbox.lower(), state=State.LIVE)
        .exclude(first_message_id="")
        .first()
    )
    if row is None:
        return None
    entry = invite_words.entry(day, [])
    row.state, row.content_sha256 = State.CANCELLED, ""
    row.sequence += 1
    called_off = day.state == Workday.State.CALLED_OFF
    octets = ics.cancel(_facts(row, entry, now), whole_day=True, reason=reason)
    context = {"called_off": called_off, "reason": reason}
    return _queue(row, entry, "invite_cancelled", context, octets, "CANCEL")


def _facts(
    row: Invite,
    entry: invite_words.Entry,
    now: datetime,
    *,
    partstat: ics.Partstat = ics.Partstat.ACCEPTED,
    rsvp: bool = False,
) -> ics.Invite:
    return ics.Invite(
        uid=row.uid,
        sequence=row.sequence,
        dtstamp=now,
        starts_at=entry.starts_at,
        ends_at=entry.ends_at,
        tzid=entry.tzid,
        summary=entry.summary,
        description=entry.description,
        location=entry.location,
        latitude=entry.latitude,
        longitude=entry.longitude,
        url=entry.url,
        organizer_name=settings.PROGRAMME_NAME,
        organizer_email=settings.MAIL_FROM_ADDRESS,
        attendee_name=entry.names,
        attendee_email=row.mailbox,
        partstat=partstat,
        rsvp=rsvp,
    )


def _own_links(people: Sequence[SignUp]) -> list[dict[str, str]]:
    return [
        {
            "name": row.person.name,
            "link": links.absolute("own_day", row.person.secret, row.pk),
        }
        for row in people
    ]


def _queue(
    row: Invite,
    entry: invite_words.Entry,
    template: str,
    context: dict[str, Any],
    octets: bytes,
    method: str,
) -> SentMessage:
    """Queue the mail behind the earlier ones of this entry, and store what was sent."""
    thread = f"invite:{row.pk}"
    letter = outbox.compose(
        f"workdays/mail/{template}",
        {"entry": entry, "day": row.day, "day_name": naming.day_name(row.day)}
        | {"hours": hours_words(row.day), "caution": invite_words.CAUTION}
        | context,
        reason="calendar entry",
        to_address=row.mailbox,
        calendar=octets,
        calendar_method=method,
        thread=thread,
        references=" ".join(dict.fromkeys(filter(None, _earlier(row)))),
    )
    number = SentMessage.objects.filter(thread=thread).count()
    message = outbox.queue(letter, key=f"{thread}:seq{row.sequence}:{number}")
    row.first_message_id = row.first_message_id or message.message_id
    row.last_message_id = message.message_id
    row.save()
    return message


def _earlier(row: Invite) -> tuple[str, str]:
    return row.first_message_id, row.last_message_id
