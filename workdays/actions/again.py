"""Mail somebody the links to what is theirs, without telling whoever asks whether they exist."""

import uuid

from django.db import transaction

from coordinator import outbox
from coordinator.models import Person
from workdays.models import Workday
from workdays.queries.again import own_links, people_of
from workdays.queries.naming import day_name


@transaction.atomic
def mail_own_links(mailbox: str, day: Workday | None) -> bool:
    """Queue one mail with a link for each person of a mailbox; return whether there is anybody.

    An unknown mailbox costs the same work: its letter is written, queued and taken back, so that
    neither page nor waiting time tells a stranger whom the service knows.
    """
    people = list(people_of(mailbox))
    mark = transaction.savepoint()
    outbox.queue(_letter(mailbox, people, day), key=f"again:{uuid.uuid4()}")
    if people:
        transaction.savepoint_commit(mark)
    else:
        transaction.savepoint_rollback(mark)
    return bool(people)


def _letter(mailbox: str, people: list[Person], day: Workday | None) -> outbox.Letter:
    context = {"lines": own_links(people, day), "day_name": day_name(day) if day else ""}
    return outbox.compose(
        "workdays/mail/again",
        context,
        reason="your links",
        to_address=mailbox,
        person=people[0] if len(people) == 1 else None,
    )
