"""Add to the demo what passes within minutes; print the addresses that stand in mails only.

Takes the number of a sign-up, whose person gets a notice and whose day an offer and a stranger.
"""

import json
import sys
from datetime import timedelta

import django

django.setup()

from django.utils import timezone  # noqa: E402

from coordinator import links  # noqa: E402
from coordinator.models import SentMessage  # noqa: E402
from tests import factories  # noqa: E402
from workdays import booking_mail, group_mail, waiting_list  # noqa: E402
from workdays.actions.erasing import erase  # noqa: E402
from workdays.models import Booking, Notice, SignUp, Workday  # noqa: E402
from workdays.queries import sign_ups  # noqa: E402

NOW = timezone.now()
SOON = NOW + timedelta(hours=6)


def main(number: int) -> None:
    """Add, and print as JSON."""
    row = SignUp.objects.select_related("day__cemetery", "person").get(pk=number)
    Notice.objects.create(day=row.day, person=row.person, reason="the gate is on the other side")
    addresses = [
        confirm(row.day),
        offer(row.day),
        booking(),
        mailed("do you come along"),
        mailed("invitation"),
        *group(row),
        erased(),
        unsigned(row.day),
        links.absolute("no_more", factories.make_opening_mail(row.person, row.day.cemetery).secret),
        links.absolute("again_sent"),
        links.absolute("sign_up_sent", row.day_id),
        links.absolute("clinic_asked"),
        links.absolute("account_inactive"),
    ]
    sys.stdout.write(json.dumps(addresses))


def confirm(day: Workday) -> str:
    """Return the link by which a stranger says yes."""
    person = factories.make_person(confirmed_at=None)
    row = factories.make_sign_up(day, person, state=SignUp.State.UNCONFIRMED, held_until=SOON)
    return links.absolute(
        "confirm_sign_up", links.make(sign_ups.CONFIRM, row.pk, sign_ups.confirm_state(row))
    )


def offer(day: Workday) -> str:
    """Return the link by which somebody from the waiting list takes a place."""
    row = factories.make_sign_up(day, state=SignUp.State.OFFERED, held_until=SOON)
    row.refresh_from_db()
    return links.absolute(
        "take_offer", links.make(waiting_list.OFFER, row.pk, waiting_list.offer_state(row))
    )


def erased() -> str:
    """Erase somebody of whom something is kept; return the page that says what follows."""
    person = factories.make_person()
    factories.sign(person)
    erase(person.pk, now=NOW)
    return links.absolute("erased")


def unsigned(day: Workday) -> str:
    """Return the page on which somebody signs who is on the list without a waiver."""
    row = factories.make_sign_up(day)
    return links.absolute("own_sign", row.person.secret, row.pk)


def mailed(reason: str) -> str:
    """Return the link in the newest mail of a kind that the season has sent."""
    text = SentMessage.objects.filter(reason=reason).latest("pk").text
    return next(word for word in text.split() if word.startswith("http"))


def group(row: SignUp) -> list[str]:
    """Return the share link of a group, and the link by which a leader says yes to places."""
    led = factories.make_group(row.day, leader=row.person, reserved=2)
    asked = factories.make_group(
        row.day, leader=factories.make_person(confirmed_at=None), reserved=2, held_until=SOON
    )
    asked.refresh_from_db()
    token = links.make(group_mail.GROUP, asked.pk, group_mail.group_state(asked))
    return [links.absolute("group_sign_up", led.secret), links.absolute("confirm_group", token)]


def booking() -> str:
    """Return the link by which a host shows that the mailbox is theirs."""
    asked = Booking.objects.create(
        host=factories.make_host(confirmed_at=None),
        place="Fernwood churchyard",
        skill=factories.skill("cleaning"),
        wished_on=(NOW + timedelta(days=60)).date(),
        people=9,
    )
    asked.refresh_from_db()
    state = booking_mail.confirm_state(asked)
    return links.absolute("confirm_booking", links.make(booking_mail.CONFIRM, asked.pk, state))


main(int(sys.argv[1]))
