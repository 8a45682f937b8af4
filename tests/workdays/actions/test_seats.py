"""Two who come are put in touch about a seat only when both have agreed."""

from datetime import timedelta
from typing import Any

import pytest

from coordinator.models import AuditEntry, SentMessage
from coordinator.refused import Refused
from tests.factories import NOW, make_day, make_person, make_sign_up
from workdays.actions import places, seats
from workdays.actions.own import change
from workdays.actions.sign_ups import Contact, Wishes
from workdays.models import SeatRequest, SignUp, Workday

pytestmark = pytest.mark.django_db
State = SeatRequest.State
DRIVES = {"seats_offered": 3, "seats_from": "Quarry Corners"}
RIDES = {"seats_wanted": 2, "seats_from": "Mill Crossing"}


@pytest.fixture
def day() -> Workday:
    return make_day()


def driver(day: Workday, **values: Any) -> SignUp:
    person = make_person(name="Ana Drives", telephone="555-0171")
    return make_sign_up(day, person, **(DRIVES | values))


def rider(day: Workday, **values: Any) -> SignUp:
    return make_sign_up(day, make_person(name="Bo Rides"), **(RIDES | values))


def mails(word: str) -> list[SentMessage]:
    return list(SentMessage.objects.filter(key__startswith=word).order_by("pk"))


def test_the_question_names_nobody_and_no_place_and_the_yes_gives_both_names(
    day: Workday,
) -> None:
    gives, wants = driver(day), rider(day)
    request = seats.ask(wants.pk, gives.pk, now=NOW)
    assert (request.driver, request.rider, request.seats) == (gives, wants, 2)
    (asked,) = mails("seat_asked")
    assert asked.to_address == gives.person.email
    for word in ("Bo Rides", "Mill Crossing", wants.person.email, "Quarry"):
        assert word not in asked.text + asked.html + asked.subject
    seats.agree(request.pk, gives.pk, now=NOW)
    to_driver, to_rider = mails("seat_agreed")
    assert "Bo Rides" in to_driver.text
    assert "Ana Drives" in to_rider.text
    assert "555-0171" in to_rider.text
    verbs = AuditEntry.objects.filter(thing_type="seatrequest").values_list("verb", flat=True)
    assert set(verbs) == {"asked about a seat", "agreed to a seat"}


def test_a_driver_may_ask_too_and_only_the_other_agrees(day: Workday) -> None:
    gives, wants = driver(day), rider(day)
    request = seats.ask(gives.pk, wants.pk, now=NOW)
    assert request.driver == gives
    with pytest.raises(Refused, match="other has to answer"):
        seats.agree(request.pk, gives.pk, now=NOW)
    seats.agree(request.pk, wants.pk, now=NOW)
    with pytest.raises(Refused, match="nothing to answer"):
        seats.agree(request.pk, wants.pk, now=NOW)


def test_seats_given_never_pass_those_offered(day: Workday) -> None:
    gives = driver(day)
    requests = [seats.ask(rider(day).pk, gives.pk, now=NOW) for _ in range(2)]
    seats.agree(requests[0].pk, gives.pk, now=NOW)
    with pytest.raises(Refused, match="no longer so many"):
        seats.agree(requests[1].pk, gives.pk, now=NOW)
    contact = Contact("555-0199", "Kin Example", "555-0101")
    with pytest.raises(Refused, match="Already two seats are given"):
        change(gives.pk, contact, Wishes(seats_offered=1, seats_from="here"), now=NOW)


@pytest.mark.parametrize("state", [s for s in SignUp.State if s != SignUp.State.COMING])
def test_nobody_asks_or_is_asked_who_is_not_coming(day: Workday, state: str) -> None:
    gives, wants = driver(day), rider(day)
    for row in (driver(day, state=state), rider(day, state=state)):
        other = gives if row.seats_wanted else wants
        for one, two in ((row, other), (other, row)):
            with pytest.raises(Refused, match="no longer to be had"):
                seats.ask(one.pk, two.pk, now=NOW)


def test_a_minor_is_never_put_in_touch(day: Workday) -> None:
    child = make_sign_up(day, make_person(is_adult=False), **RIDES)
    gives = driver(day)
    for one, two in ((child, gives), (gives, child)):
        with pytest.raises(Refused, match="guardian"):
            seats.ask(one.pk, two.pk, now=NOW)
    contact = Contact("555-0199", "Kin Example", "555-0101")
    with pytest.raises(Refused, match="guardian"):
        change(child.pk, contact, Wishes(seats_wanted=1, seats_from="here"), now=NOW)


def test_nobody_asks_across_days_or_themselves(day: Workday) -> None:
    wants = rider(day)
    for other in (driver(make_day()).pk, wants.pk, 10**12):
        with pytest.raises(Refused, match="no longer to be had"):
            seats.ask(wants.pk, other, now=NOW)


@pytest.mark.parametrize("later", [timedelta(0), timedelta(days=1)])
def test_after_the_start_nobody_asks_or_agrees(day: Workday, later: timedelta) -> None:
    gives, wants = driver(day), rider(day)
    request = seats.ask(wants.pk, gives.pk, now=NOW)
    with pytest.raises(Refused):
        seats.agree(request.pk, gives.pk, now=day.starts_at + later)
    with pytest.raises(Refused, match="too late"):
        seats.ask(rider(day).pk, gives.pk, now=day.starts_at + later)


def test_a_no_is_told_and_ends_the_asking(day: Workday) -> None:
    gives, wants = driver(day), rider(day)
    request = seats.ask(wants.pk, gives.pk, now=NOW)
    assert seats.decline(request.pk, gives.pk, now=NOW).state == State.REFUSED
    (told,) = mails("seat_ended")
    assert told.to_address == wants.person.email
    assert "Ana Drives" not in told.text
    with pytest.raises(Refused, match="asked before"):
        seats.ask(wants.pk, gives.pk, now=NOW)


def test_either_may_take_back_what_was_agreed_and_the_seats_are_free_again(day: Workday) -> None:
    gives, wants = driver(day), rider(day)
    for who in (gives, wants):
        request = seats.ask(wants.pk, gives.pk, now=NOW)
        seats.agree(request.pk, gives.pk, now=NOW)
        assert seats.decline(request.pk, who.pk, now=NOW).state == State.TAKEN_BACK
        with pytest.raises(Refused, match="nothing to take back"):
            seats.decline(request.pk, who.pk, now=NOW)
    assert [m.to_address for m in mails("seat_ended")] == [wants.person.email, gives.person.email]


def test_who_withdraws_ends_it_and_the_other_hears(day: Workday) -> None:
    gives, wants = driver(day), rider(day)
    request = seats.ask(wants.pk, gives.pk, now=NOW)
    seats.agree(request.pk, gives.pk, now=NOW)
    places.withdraw(gives.pk, now=NOW)
    request.refresh_from_db()
    assert request.state == State.ENDED
    assert [m.to_address for m in mails("seat_ended")] == [wants.person.email]


def test_a_question_of_others_is_nobodys_to_answer(day: Workday) -> None:
    request = seats.ask(rider(day).pk, driver(day).pk, now=NOW)
    stranger = rider(day)
    for act in (seats.agree, seats.decline):
        with pytest.raises(Refused, match="not yours"):
            act(request.pk, stranger.pk, now=NOW)
