"""What people must know of a day: a row each, a mail each where there is a mailbox.

The mail has the link by which the person says "I have seen this". Whoever has no mailbox, own or
a guardian's, has a row all the same and is listed to be telephoned.
"""

from collections.abc import Iterable, Mapping
from datetime import datetime, timedelta
from typing import Any

from coordinator import links, outbox
from coordinator.models import Person, SentMessage
from workdays.models import Call, Notice, SignUp, Workday
from workdays.queries import naming
from workdays.queries.days import hours_words

GENERAL = "workdays/mail/notice"
AGAIN_AFTER = timedelta(minutes=10)


def notify(
    day: Workday,
    people: Iterable[Person],
    reason: str,
    *,
    call: Call | None = None,
    context: Mapping[str, Any],
    now: datetime,
    template: str = GENERAL,
) -> list[Notice]:
    """Write one notice a person and queue one mail for each who can be reached by mail.

    ``reason`` in a few words: it heads the notice. ``context`` fills the templates; the general
    one wants ``subject`` and ``lines``. Call it once for one reason, under the lock of the day.
    """
    once = {person.pk: person for person in people}
    notices = Notice.objects.bulk_create(
        Notice(day=day, person=person, reason=reason, call=call) for person in once.values()
    )
    guardians = guardians_of(day, once)
    for notice in notices:
        key = f"notice:{notice.pk}"
        guardian = guardians.get(notice.person_id)
        notice.message = _mail(notice, guardian, context, template, key=key)
    Notice.objects.bulk_update(notices, ["message"])
    return notices


def send_again(
    notices: Iterable[Notice], *, context: Mapping[str, Any], template: str, now: datetime
) -> int:
    """Mail notices once more; return how many. One that left minutes ago is not repeated."""
    rows = [row for row in notices if row.message and _is_old(row.message, now)]
    guardians = guardians_of(rows[0].day, [row.person_id for row in rows]) if rows else {}
    for notice in rows:
        key = f"notice:{notice.pk}:again:{now:%Y%m%dT%H%M}"
        guardian = guardians.get(notice.person_id)
        notice.message = _mail(notice, guardian, context, template, key=key)
    Notice.objects.bulk_update(rows, ["message"])
    return len(rows)


def _is_old(message: SentMessage, now: datetime) -> bool:
    return message.queued_at <= now - AGAIN_AFTER


def guardians_of(day: Workday, people: Iterable[int]) -> dict[int, Person]:
    """Return the guardian of each minor among these people (ids) on a day; one statement."""
    rows = SignUp.objects.filter(day=day, person__in=list(people), guardian__isnull=False)
    rows = rows.filter(person__is_adult=False).select_related("guardian")
    return {row.person_id: row.guardian for row in rows if row.guardian}


def mailbox_of(person: Person, guardian: Person | None) -> str:
    """Return where mail for somebody goes: the own mailbox, else a guardian's; empty for none."""
    return person.email or (guardian.email if guardian else "")


def _mail(
    notice: Notice,
    guardian: Person | None,
    context: Mapping[str, Any],
    template: str,
    *,
    key: str,
) -> SentMessage | None:
    person, day = notice.person, notice.day
    mailbox = mailbox_of(person, guardian)
    if not mailbox:
        return None
    letter = outbox.compose(
        template,
        {
            "day_name": naming.day_name(day),
            "hours": hours_words(day),
            # A name that a stranger typed goes to nobody before the mailbox has said yes.
            "name": "" if person.is_provisional else person.name,
            "link": links.absolute("notice_seen", person.secret, notice.pk),
            **context,
        },
        reason="notice",
        to_address=mailbox,
        person=person,
    )
    return outbox.queue(letter, key=key)
