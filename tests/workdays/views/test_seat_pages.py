"""Pages of seats: places without names, a name once both agreed, nothing by GET."""

import pytest
from django.test import Client
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from tests.factories import make_day, make_person, make_seat_request, make_sign_up
from workdays.models import SeatRequest, SignUp, Workday

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def gives() -> SignUp:
    person = make_person(name="Ana Drives", telephone="555-0171")
    return make_sign_up(make_day(), person, seats_offered=3, seats_from="Quarry Corners")


@pytest.fixture
def wants(gives: SignUp) -> SignUp:
    person = make_person(name="Bo Rides")
    return make_sign_up(gives.day, person, seats_wanted=1, seats_from="Mill Crossing")


def seats_of(row: SignUp) -> str:
    return reverse("own_seats", args=[row.person.secret, row.pk])


def seat_of(row: SignUp, request: SeatRequest) -> str:
    return reverse("own_seat", args=[row.person.secret, request.pk])


def read(client: Client, where: str) -> str:
    response = client.get(where)
    assert response.status_code == 200
    return response.content.decode()


def test_seats_are_shown_by_place_without_names_and_asked_for(
    client: Client, gives: SignUp, wants: SignUp
) -> None:
    html = read(client, seats_of(wants))
    assert "3 seats from Quarry Corners" in html
    assert "Ask for a seat" in html
    for word in ("Ana Drives", "555-0171", gives.person.email):
        assert word not in html
    said = client.post(seats_of(wants), {"other": gives.pk}, follow=True).content.decode()
    assert "Asked. You get a mail" in said
    assert SeatRequest.objects.get().rider == wants
    again = client.post(seats_of(wants), {"other": gives.pk}, follow=True).content.decode()
    assert "a question between the two of you already" in again


def test_a_question_is_read_by_get_and_agreed_to_by_post(
    client: Client, gives: SignUp, wants: SignUp
) -> None:
    request = make_seat_request(wants, gives)
    html = read(client, seat_of(gives, request))
    assert "Do you give 1 seat to somebody from Mill Crossing?" in html
    assert "Bo Rides" not in html
    request.refresh_from_db()
    assert request.state == SeatRequest.State.ASKED
    agreed = client.post(seat_of(gives, request), {"answer": "agree"}, follow=True)
    assert "Agreed: speak with Bo Rides" in agreed.content.decode()
    assert "555-0171" in read(client, seat_of(wants, request))
    client.post(seat_of(wants, request), {"answer": "decline"})
    assert "Bo Rides" not in read(client, seat_of(gives, request))


@pytest.mark.parametrize("state", [Workday.State.CALLED_OFF, Workday.State.CLOSED])
def test_once_a_day_is_off_or_over_names_are_no_longer_shown(
    client: Client, gives: SignUp, wants: SignUp, state: str
) -> None:
    request = make_seat_request(wants, gives, state=SeatRequest.State.AGREED)
    Workday.objects.update(state=state)
    assert "Bo Rides" not in read(client, seat_of(gives, request))
    assert "Ana Drives" not in read(client, seats_of(wants))


def test_somebody_elses_question_is_not_found(client: Client, gives: SignUp, wants: SignUp) -> None:
    request = make_seat_request(wants, gives)
    stranger = make_sign_up(gives.day)
    assert client.get(seat_of(stranger, request)).status_code == 404
    assert client.post(seat_of(stranger, request), {"answer": "agree"}).status_code == 404


@pytest.mark.parametrize("typed", ["", "x", "-1", "9" * 400, "\x00", "<b>"])
def test_bad_input_is_said_and_changes_nothing(
    client: Client, gives: SignUp, wants: SignUp, typed: str
) -> None:
    request = make_seat_request(wants, gives)
    said = client.post(seats_of(wants), {"other": typed}, follow=True).content.decode()
    assert "Choose one of the seats" in said
    said = client.post(seat_of(gives, request), {"answer": typed}, follow=True).content.decode()
    assert "Press one of the buttons" in said
    request.refresh_from_db()
    assert request.state == SeatRequest.State.ASKED


def test_a_minor_is_neither_shown_nor_asked(client: Client, gives: SignUp) -> None:
    child = make_person(is_adult=False)
    row = make_sign_up(gives.day, child, seats_wanted=1, seats_from="School Lane")
    assert "School Lane" not in read(client, seats_of(gives))
    html = read(client, seats_of(row))
    assert "go through the guardian" in html
    assert "Ask for a seat" not in html


def test_the_page_takes_as_many_statements_for_many_people(
    client: Client, gives: SignUp, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(20):
        make_seat_request(make_sign_up(gives.day), gives)
    with django_assert_max_num_queries(5):
        read(client, seats_of(gives))


CONTACT = {
    "telephone": "555-0177",
    "emergency_name": "Rui Costa",
    "emergency_telephone": "555-0143",
    "comes_at": "20260509T1300Z",
    "leaves_at": "20260509T1900Z",
    "words": "I come by bus.",
}


@pytest.mark.parametrize(
    ("typed", "beside"),
    [
        ({"seats_offered": "9", "seats_from": "Here"}, "seats_offered"),
        ({"seats_offered": "1", "seats_wanted": "1", "seats_from": "Here"}, "seats_wanted"),
        ({"seats_wanted": "1"}, "seats_from"),
        ({"seats_wanted": "1", "seats_from": "a" * 61}, "seats_from"),
    ],
)
def test_what_cannot_be_about_seats_is_refused_beside_its_field(
    client: Client, typed: dict[str, str], beside: str
) -> None:
    row = make_sign_up(make_day())
    where = reverse("own_change", args=[row.person.secret, row.pk])
    html = client.post(where, CONTACT | typed).content.decode()
    assert f"id_{beside}_error" in html
    assert "I come by bus." in html
    row.refresh_from_db()
    assert (row.seats_offered, row.seats_wanted) == (0, 0)


def test_seats_are_said_on_the_page_of_a_change(client: Client) -> None:
    row = make_sign_up(make_day())
    where = reverse("own_change", args=[row.person.secret, row.pk])
    client.post(where, CONTACT | {"seats_offered": "2", "seats_from": "Mill\x00 Crossing"})
    row.refresh_from_db()
    assert (row.seats_offered, row.seats_from) == (2, "Mill Crossing")
    assert 'value="Mill Crossing"' in read(client, where)
