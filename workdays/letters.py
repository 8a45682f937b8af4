"""Plain mails about a sign-up and the own page: from the first link to say yes to the last word."""

from collections.abc import Sequence
from datetime import UTC, date

from coordinator import links, outbox
from coordinator.models import Person, SentMessage
from workdays.models import Signature, SignUp
from workdays.queries import naming
from workdays.queries.days import hours_words
from workdays.queries.sign_ups import ANSWER, CONFIRM, confirm_state
from workdays.rules.young_people import rules_in


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


def was_asked(row: SignUp) -> bool:
    """Return whether somebody named by another has been sent an own link."""
    return SentMessage.objects.filter(key=f"answer:{row.pk}").exists()


def ask_to_answer(row: SignUp) -> SentMessage:
    """Mail somebody named by another a link of their own; nobody's name stands in it."""
    return _about_being_named(row, "workdays/mail/named", "do you come along", "answer")


def warn_before_cut_off(row: SignUp) -> SentMessage:
    """Mail once more to somebody named by another who has not answered; once for ever."""
    return _about_being_named(row, "workdays/mail/named_warning", "the place lapses", "warning")


def _about_being_named(row: SignUp, template: str, reason: str, key: str) -> SentMessage:
    day = row.day
    context = {
        "day_name": naming.day_name(day),
        "hours": hours_words(day),
        "until": naming.moment_name(day, day.cut_off_at),
        "link": links.absolute("answer", links.make(ANSWER, row.pk, confirm_state(row))),
    }
    letter = outbox.compose(
        template, context, reason=reason, to_address=row.person.email, person=row.person
    )
    return outbox.queue(letter, key=f"{key}:{row.pk}")


def copy_of_waiver(
    row: SignUp,
    signature: Signature,
    wards: Sequence[Signature] = (),
    *,
    proven: bool = True,
    anew: bool = False,
) -> SentMessage | None:
    """Mail what was signed, word for word, and the person's own link; None without a mailbox.

    ``wards``: what the person signed for minors, under the same text. ``proven``: the mailbox has
    answered before; one that was only told at the gate, maybe with a slip, gets no own link.
    ``anew``: signed once more for a day that they are on already.
    """
    if not row.person.email:
        return None
    context = {
        "person": row.person,
        "day_name": naming.day_name(row.day),
        "hours": hours_words(row.day),
        "waits": row.state == SignUp.State.WAITING,
        "anew": anew,
        "signature": signature,
        "wards": wards,
        "young_rules": rules_in(signature.language) if wards else None,
        "signed_at": f"{signature.signed_at.astimezone(UTC):%Y-%m-%d %H:%M} UTC"
        if signature.signed_on is None
        else f"on paper, {signature.signed_on:%Y-%m-%d}",
        "link": links.absolute("own_page", row.person.secret) if proven else "",
        "again": links.absolute("again"),
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


def erased(person: Person, mailbox: str, days: Sequence[str], until_on: date | None) -> SentMessage:
    """Mail the last word to a mailbox that is stored nowhere else any more; no link is in it."""
    letter = outbox.compose(
        "workdays/mail/erased",
        {"days": days, "until_on": until_on},
        reason="you are erased",
        to_address=mailbox,
        person=person,
    )
    return outbox.queue(letter, key=f"erased:{person.pk}")
