"""Plain mails about a sign-up: the link to say yes, the copy of what was signed, a new link."""

from datetime import UTC

from coordinator import links, outbox
from coordinator.models import Person, SentMessage
from workdays.models import Signature, SignUp
from workdays.queries import naming
from workdays.queries.days import hours_words
from workdays.queries.sign_ups import CONFIRM, confirm_state


def ask_to_confirm(row: SignUp) -> SentMessage:
    """Mail the link that says yes: no name and no word that a visitor typed stands in it."""
    day = row.day
    context = {
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "waits": row.state == SignUp.State.WAITING,
        "until": naming.moment_name(day, row.held_until) if row.held_until else "",
        "link": links.absolute("confirm_sign_up", links.make(CONFIRM, row.pk, confirm_state(row))),
    }
    letter = outbox.compose(
        "workdays/mail/confirm",
        context,
        reason="is this your mailbox",
        to_address=row.person.email,
        person=row.person,
    )
    return outbox.queue(letter, key=f"confirm:{row.pk}")


def copy_of_waiver(row: SignUp, signature: Signature) -> SentMessage | None:
    """Mail what was signed, word for word, and the person's own link; None without a mailbox."""
    if not row.person.email:
        return None
    context = {
        "person": row.person,
        "day_name": naming.day_name(row.day),
        "hours": hours_words(row.day),
        "waits": row.state == SignUp.State.WAITING,
        "signature": signature,
        "signed_at": f"{signature.signed_at.astimezone(UTC):%Y-%m-%d %H:%M} UTC",
        "link": links.absolute("own_page", row.person.secret),
    }
    letter = outbox.compose(
        "workdays/mail/waiver_copy",
        context,
        reason="copy of what you signed",
        to_address=row.person.email,
        person=row.person,
    )
    return outbox.queue(letter, key=f"waiver-copy:{signature.pk}")


def new_link(person: Person) -> SentMessage:
    """Mail a renewed standing link to the mailbox, never to whoever pressed the button."""
    letter = outbox.compose(
        "workdays/mail/new_link",
        {"link": links.absolute("own_page", person.secret)},
        reason="your new link",
        to_address=person.email,
        person=person,
    )
    return outbox.queue(letter, key=f"new-link:{person.pk}:{person.secret[:12]}")
