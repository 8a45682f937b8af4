"""What is written to hosts about their requests, and to organisers about hosts."""

from datetime import timedelta

from coordinator import links, outbox
from coordinator.links import Purpose
from workdays.models import Booking, Call
from workdays.queries.bookings import organisers_for
from workdays.queries.call_words import call_words
from workdays.queries.days import hours_words, local_date
from workdays.rules.wall_clock import day_words

CONFIRM = Purpose("booking", timedelta(days=7))


def confirm_state(booking: Booking) -> str:
    """Return what the link of a request stands on: it dies when the link was used."""
    return f"{booking.host.email}:{booking.host.confirmed_at}:{booking.state}"


def _context(booking: Booking) -> dict[str, object]:
    day = booking.day
    return {
        "booking": booking,
        "host": booking.host,
        "wished": day_words(booking.wished_on),
        "second": day_words(booking.or_on) if booking.or_on else "",
        "where": booking.cemetery.name if booking.cemetery else booking.place,
        "skill": booking.skill.name.lower(),
        "host_url": links.absolute("host_page", booking.host.secret),
        "day_words": day_words(local_date(day)) if day else "",
        "hours": hours_words(day) if day else "",
        "day_url": links.absolute("day", day.pk) if day and day.state == day.State.OPEN else "",
    }


def _to_host(booking: Booking, name: str, *, key: str = "", **more: object) -> None:
    letter = outbox.compose(
        f"workdays/mail/{name}",
        {**_context(booking), **more},
        reason=name,
        to_address=booking.host.email,
        thread=f"booking:{booking.pk}",
    )
    outbox.queue(letter, key=key or f"{name}:{booking.pk}")


def _to_organisers(booking: Booking, name: str) -> None:
    context = _context(booking) | {"answer_url": links.absolute("booking", booking.pk)}
    for person in organisers_for(booking.cemetery_id):
        letter = outbox.compose(
            f"workdays/mail/{name}", context, reason=name, to_address=person.email, person=person
        )
        outbox.queue(letter, key=f"{name}:{booking.pk}:{person.pk}")


def ask_to_confirm(booking: Booking) -> None:
    """Send the one link that shows that the mailbox is the host's."""
    token = links.make(CONFIRM, booking.pk, confirm_state(booking))
    _to_host(booking, "booking_confirm", confirm_url=links.absolute("confirm_booking", token))


def tell_received(booking: Booking) -> None:
    """Tell the host that the request stands, with the standing link, and organisers of it."""
    _to_host(booking, "booking_received")
    _to_organisers(booking, "booking_waiting")


def tell_accepted(booking: Booking) -> None:
    """Tell the host the date that was set."""
    _to_host(booking, "booking_accepted")


def tell_refused(booking: Booking) -> None:
    """Tell the host that there will be no clinic, in the organiser's words."""
    _to_host(booking, "booking_refused")


def tell_opened(booking: Booking) -> None:
    """Tell the host that people can sign up now, with the public page to pass on."""
    _to_host(booking, "booking_opened")


def tell_call(booking: Booking, call: Call) -> None:
    """Tell the host of the clinic what was decided for its day."""
    assert booking.day is not None  # noqa: S101  # a call is for a day
    words = call_words(call, booking.day)
    _to_host(booking, "booking_call", key=f"booking_call:{call.pk}:{booking.pk}", call=words)


def tell_withdrawn(booking: Booking) -> None:
    """Tell organisers that a host withdrew."""
    _to_organisers(booking, "booking_withdrawn")
