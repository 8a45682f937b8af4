"""Mails about seats: nobody is named and no typed word stands in one before both have agreed."""

from coordinator import links, outbox
from coordinator.models import SentMessage
from workdays.models import SeatRequest, SignUp
from workdays.queries import naming


def asked(request: SeatRequest) -> SentMessage | None:
    """Tell who is asked that there is a question, with the page where it is answered."""
    return _mail("seat_asked", request, request.asked, reason="a question about a seat")


def agreed(request: SeatRequest) -> None:
    """Give each of the two the other's name and how to reach them."""
    for row in (request.driver, request.rider):
        _mail("seat_agreed", request, row, reason="a seat is agreed", other=request.other(row))


def ended(request: SeatRequest, to: SignUp) -> SentMessage | None:
    """Tell one of the two that nothing comes of the seat, or no longer."""
    return _mail("seat_ended", request, to, reason="a seat is not to be had")


def _mail(
    template: str, request: SeatRequest, to: SignUp, *, reason: str, other: SignUp | None = None
) -> SentMessage | None:
    if not to.person.email:
        return None
    context = {
        "day_name": naming.day_name(to.day),
        "request": request,
        "drives": to.pk == request.driver_id,
        "other": other.person if other else None,
        "link": links.absolute("own_seat", to.person.secret, request.pk),
        "seats_link": links.absolute("own_seats", to.person.secret, to.pk),
    }
    letter = outbox.compose(
        f"workdays/mail/{template}",
        context,
        reason=reason,
        to_address=to.person.email,
        person=to.person,
    )
    return outbox.queue(letter, key=f"{template}:{request.pk}:{to.pk}")
