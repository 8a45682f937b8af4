"""Mails to the leader of a group: the link that says yes, then the link to the group's page."""

from datetime import UTC, timedelta

from coordinator import links, outbox
from coordinator.models import SentMessage
from workdays.models import Party
from workdays.queries import naming
from workdays.queries.days import hours_words

GROUP = links.Purpose("confirm-group", timedelta(days=14))


def group_state(party: Party) -> str:
    """Return what the first link is good for: one yes, while the places are held."""
    until = party.held_until.astimezone(UTC).isoformat() if party.held_until else ""
    known = party.leader is not None and not party.leader.is_provisional
    return f"{until} {'known' if known else 'stranger'}"


def ask_leader(party: Party) -> SentMessage:
    """Mail the link that says yes: no word that a visitor typed stands in it."""
    link = links.absolute("confirm_group", links.make(GROUP, party.pk, group_state(party)))
    return _mail(party, "workdays/mail/group_confirm", "is this your mailbox", link)


def tell_leader(party: Party) -> SentMessage:
    """Mail the link to the page of the group."""
    assert party.leader is not None  # noqa: S101  # a group is made with its leader
    link = links.absolute("own_group", party.leader.secret, party.pk)
    return _mail(party, "workdays/mail/group_ready", "your group", link)


def _mail(party: Party, template: str, reason: str, link: str) -> SentMessage:
    assert party.leader is not None  # noqa: S101  # a group is made with its leader
    context = {
        "day_name": naming.day_name(party.day),
        "hours": hours_words(party.day),
        "until": naming.moment_name(party.day, party.held_until) if party.held_until else "",
        "places": party.reserved,
        "link": link,
    }
    letter = outbox.compose(
        template,
        context,
        reason=reason,
        to_address=party.leader.email,
        person=party.leader,
    )
    return outbox.queue(letter, key=f"{template.rpartition('/')[2]}:{party.pk}")
