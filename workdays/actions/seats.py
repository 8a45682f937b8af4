"""Ask for a seat, answer, take it back: under the lock of the day, so no seat is given twice."""

from datetime import datetime

from django.db import transaction

from coordinator import audit
from coordinator.refused import Refused, refuse
from workdays import seat_mail
from workdays.models import SeatRequest, SignUp, Workday
from workdays.queries.locking import locked_day
from workdays.queries.seats import is_ahead, question, requests_of, traveller
from workdays.rules import seats as rules
from workdays.rules.refusals import Refusal

State = SeatRequest.State


@transaction.atomic
def ask(sign_up_id: int, other_id: int, *, now: datetime) -> SeatRequest:
    """Ask another who comes for seats, or offer them one's own. Raises Refused.

    Whoever wants seats is the rider; asking is agreeing for one's own part.
    """
    day = _day_of(sign_up_id)
    rows = SignUp.objects.filter(day=day, pk__in=(sign_up_id, other_id)).select_related("person")
    both = {row.pk: row for row in rows}
    if len(both) < 2:
        raise Refused([Refusal("no-seat", "That seat is no longer to be had.")])
    me, other = both[sign_up_id], both[other_id]
    driver, rider = (other, me) if me.seats_wanted else (me, other)
    requests = requests_of(day)
    ends = (traveller(driver, requests), traveller(rider, requests))
    earlier = [rules.State(r.state) for r in requests if {r.driver_id, r.rider_id} == both.keys()]
    refuse(rules.refusals_to_ask(*ends, earlier, day_is_ahead=is_ahead(day, now=now)))
    request = SeatRequest.objects.create(
        driver=driver,
        rider=rider,
        seats=rules.seats_between(*ends),
        asked_by_driver=driver == me,
        asked_at=now,
    )
    audit.record(audit.by_link(me.person), "asked about a seat", request, _detail(request, day))
    seat_mail.asked(request)
    return request


@transaction.atomic
def agree(request_id: int, sign_up_id: int, *, now: datetime) -> SeatRequest:
    """Say yes to a question: each of the two gets the other's name and number. Raises Refused."""
    day = _day_of(sign_up_id)
    request, me = _mine(request_id, sign_up_id)
    requests = requests_of(day)
    ends = (traveller(request.driver, requests), traveller(request.rider, requests))
    state = rules.State(request.state)
    if request.asked != me:
        raise Refused([Refusal("not-yours", "The other has to answer this.")])
    ahead = is_ahead(day, now=now)
    refuse(rules.refusals_to_agree(*ends, request.seats, state, day_is_ahead=ahead))
    _set(request, State.AGREED, me, "agreed to a seat", now)
    seat_mail.agreed(request)
    return request


@transaction.atomic
def decline(request_id: int, sign_up_id: int, *, now: datetime) -> SeatRequest:
    """Say no to a question, take one's own back, or end what was agreed. Raises Refused."""
    _day_of(sign_up_id)
    request, me = _mine(request_id, sign_up_id)
    if not question(request, me, now=now).is_live:
        raise Refused([Refusal("over", "There is nothing to take back here any more.")])
    refuses = request.state == State.ASKED and request.asked == me
    tells = request.state == State.AGREED or refuses
    verb = "refused a seat" if refuses else "took a seat back"
    _set(request, State.REFUSED if refuses else State.TAKEN_BACK, me, verb, now)
    if tells:
        seat_mail.ended(request, request.other(me))
    return request


def end_seats_of(row: SignUp, *, now: datetime) -> None:
    """End what somebody asked or agreed who no longer comes; inside the transaction of that."""
    requests = [r for r in requests_of(row.day) if row.pk in (r.driver_id, r.rider_id)]
    for request in requests:
        if request.state in rules.LIVE:
            _set(request, State.ENDED, row, "no longer comes with a seat", now)
            seat_mail.ended(request, request.other(row))


def _day_of(sign_up_id: int) -> Workday:
    return locked_day(SignUp.objects.values_list("day_id", flat=True).get(pk=sign_up_id))


def _mine(request_id: int, sign_up_id: int) -> tuple[SeatRequest, SignUp]:
    both = ("driver__person", "rider__person", "driver__day__cemetery", "rider__day__cemetery")
    request = SeatRequest.objects.select_related(*both).get(pk=request_id)
    if sign_up_id not in (request.driver_id, request.rider_id):
        raise Refused([Refusal("not-yours", "This question is not yours.")])
    return request, request.driver if request.driver_id == sign_up_id else request.rider


def _set(request: SeatRequest, state: State, me: SignUp, verb: str, now: datetime) -> None:
    request.state, request.answered_at = state, now
    request.save(update_fields=["state", "answered_at"])
    audit.record(audit.by_link(me.person), verb, request, _detail(request, me.day))


def _detail(request: SeatRequest, day: Workday) -> dict[str, object]:
    return {"day": day.pk, "seats": request.seats, "state": request.state}
