"""Remind everybody of a day who has not signed or not answered: one press, one mail each."""

from datetime import datetime, timedelta

from django.db import transaction

from coordinator import audit, links, outbox
from coordinator.models import Person
from coordinator.refused import refuse
from workdays.models import SignUp, Workday
from workdays.notices import guardians_of, mailbox_of
from workdays.queries import naming, sign_ups
from workdays.queries.days import hours_words
from workdays.queries.locking import locked_day
from workdays.queries.reminding import VERB, last_reminder
from workdays.queries.sign_ups import CONFIRM, confirm_state
from workdays.queries.waivers import people_with_waiver
from workdays.rules.refusals import Refusal
from workdays.rules.roll import refusals_shut

AGAIN_AFTER = timedelta(hours=12)


@transaction.atomic
def remind(day_id: int, *, by: Person, now: datetime) -> tuple[int, int]:
    """Mail their own link to all who have not signed; return how many, and how many to ring.

    Raises Refused for a day that has begun, and within twelve hours of the last reminder: so a
    second press sends nothing.
    """
    day = locked_day(day_id)
    refuse(_refusals(day, now))
    rows = sign_ups.live_rows(day)
    signed = people_with_waiver(day, [row.person_id for row in rows])
    missing = [row for row in rows if row.person_id not in signed]
    guardians = guardians_of(day, [row.person_id for row in missing])
    mailed = sum(_mail(row, day, guardians.get(row.person_id), now) for row in missing)
    to_ring = len(missing) - mailed
    audit.record(audit.by_login(by), VERB, day, {"mailed": mailed, "to_ring": to_ring})
    return mailed, to_ring


def _refusals(day: Workday, now: datetime) -> list[Refusal]:
    found = refusals_shut(day.state)
    if now >= day.starts_at:
        found.append(Refusal("begun", "The day has begun: whoever has not signed does so there."))
    last = last_reminder(day)
    if last and now < last + AGAIN_AFTER:
        sent = naming.moment_name(day, last)
        found.append(Refusal("again", f"A reminder went {sent}; nothing was sent now."))
    return found


def _mail(row: SignUp, day: Workday, guardian: Person | None, now: datetime) -> bool:
    """Queue one reminder; return whether there is a mailbox. Nobody's name stands in it."""
    mailbox = mailbox_of(row.person, guardian)
    if not mailbox:
        return False
    stranger = row.person.is_provisional
    row.day = day
    link = (
        links.absolute("confirm_sign_up", links.make(CONFIRM, row.pk, confirm_state(row)))
        if stranger
        else links.absolute("own_page", row.person.secret)
    )
    context = {
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "stranger": stranger,
        "link": link,
    }
    letter = outbox.compose(
        "workdays/mail/remind",
        context,
        reason="something is missing",
        to_address=mailbox,
        person=row.person,
    )
    outbox.queue(letter, key=f"remind:{row.pk}:{now:%Y%m%dT%H%M}")
    return True
