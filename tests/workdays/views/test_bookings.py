"""Pages of hosts and of organisers who answer them."""

import re
from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
import time_machine
from django.test import Client
from django.urls import reverse
from pytest_django import Settings

from coordinator.models import Person, SentMessage
from tests import factories
from tests.pages import log_in
from workdays.forms.guard import stamp
from workdays.models import Booking, Host, Membership, Workday

pytestmark = pytest.mark.django_db
NOW = factories.NOW
HOSTILE = [
    "<script>alert(1)</script>",
    "\x00\x07bell",
    "x" * 10_000,
    "\u202eright to left",
    "🪦",
    "9999-12-31",
    "0001-01-01",
    "-1",
    "9" * 30,
    "NaN",
]


@pytest.fixture(autouse=True)
def _wednesday() -> Iterator[None]:
    with time_machine.travel(NOW, tick=False):
        yield


def typed(**overrides: Any) -> dict[str, Any]:
    return {
        "name": "Mill Lane Society",
        "contact_name": "Ada Contact",
        "email": "ada@hosts.example",
        "telephone": "555-0142",
        "skill": factories.skill("cleaning").pk,
        "cemetery": "",
        "place": "Old yard at Mill Lane",
        "wished_on": "2026-06-13",
        "or_on": "",
        "people": "20",
        "words": "Two use sticks.",
        "trap": "",
        "age": stamp(),
    } | overrides


def sign_in(client: Client, person: Person) -> Client:
    log_in(client, person)
    return client


def mailed_path() -> str:
    text = SentMessage.objects.get(reason="booking_confirm").text
    found = re.search(r"(/clinics/confirm/[^/\s]+/)", text)
    assert found
    return found[1]


def make_booking(**overrides: Any) -> Booking:
    values = {
        "host": overrides.pop("host", None) or factories.make_host(name="Mill Lane Society"),
        "skill": factories.skill("cleaning"),
        "place": "Old yard",
        "wished_on": date(2026, 6, 13),
        "people": 20,
    }
    return Booking.objects.create(**(values | overrides))


def test_a_host_asks_answers_the_link_and_sees_the_own_page(client: Client) -> None:
    asked = client.post(reverse("ask_for_clinic"), typed())
    assert asked.headers["Location"] == reverse("clinic_asked")
    assert client.get(reverse("clinic_asked")).status_code == 200
    link = mailed_path()
    assert "Old yard at Mill Lane" in client.get(link).content.decode()
    assert Host.objects.get().confirmed_at is None
    page = client.post(link, follow=True).content.decode()
    assert "What Mill Lane Society asked for" in page
    assert Host.objects.get().confirmed_at == NOW


def test_a_link_that_was_used_is_too_old_or_broken_says_so(client: Client) -> None:
    client.post(reverse("ask_for_clinic"), typed())
    link = mailed_path()
    broken = client.get(link[:-3] + "/")
    assert (broken.status_code, b"not complete" in broken.content) == (410, True)
    with time_machine.travel(date(2026, 5, 15), tick=False):
        assert b"too old" in client.get(link).content
    client.post(link)
    for act in (client.get, client.post):
        used = act(link)
        assert (used.status_code, b"used already" in used.content) == (410, True)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"wished_on": "2026-05-06"}, "is not ahead of us"),
        ({"wished_on": "soon"}, "Enter a valid date."),
        ({"or_on": "2026-06-13"}, "The second date is the same as the first."),
        ({"place": ""}, "Choose one of our cemeteries or name a place."),
        ({"people": "101"}, "less than or equal to 100"),
        ({"email": "nobody"}, "Enter a valid email address."),
        ({"telephone": "call me"}, "Write the number with digits"),
        ({"trap": "x"}, "This must stay empty."),
        ({"skill": "9" * 30}, "Select a valid choice."),
    ],
)
def test_what_is_refused_is_said_and_what_was_typed_stays(
    client: Client, change: dict[str, str], sentence: str
) -> None:
    answer = client.post(reverse("ask_for_clinic"), typed(**change))
    page = answer.content.decode()
    assert answer.status_code == 200
    assert sentence in page
    assert "Two use sticks." in page
    assert not Booking.objects.exists()


@pytest.mark.parametrize("hostile", HOSTILE)
def test_hostile_input_is_kept_as_text_or_refused(client: Client, hostile: str) -> None:
    for name in typed():
        answer = client.post(reverse("ask_for_clinic"), typed(**{name: hostile}))
        assert answer.status_code in (200, 302, 429), name
        assert b"<script>alert(1)" not in answer.content
    Host.objects.update(confirmed_at=NOW)
    organiser = sign_in(client, factories.make_staff())
    assert organiser.get(reverse("bookings")).status_code == 200
    for booking in Booking.objects.all():
        for page in ("booking", "booking_accept"):
            answer = organiser.get(reverse(page, args=[booking.pk]))
            assert answer.status_code == 200
            assert b"<script>alert(1)" not in answer.content


def test_one_mailbox_and_one_network_cannot_flood(client: Client, settings: Settings) -> None:
    settings.SIGN_UPS_PER_MAILBOX_DAY = 1
    settings.SIGN_UPS_PER_NETWORK_HOUR = 3
    address = reverse("ask_for_clinic")
    assert client.post(address, typed()).status_code == 302
    assert client.post(address, typed()).status_code == 429
    assert client.post(address, typed(email="b@hosts.example")).status_code == 302
    flood = client.post(address, typed(email="c@hosts.example"))
    assert flood.status_code == 429
    assert "Two use sticks." in flood.content.decode()
    assert Booking.objects.count() == 2


def test_a_host_reads_the_answer_and_takes_the_request_back(client: Client) -> None:
    booking = make_booking(answer="Bring gloves.", state=Booking.State.ACCEPTED)
    day = factories.make_day(purpose=Workday.Purpose.CLINIC, teaches=booking.skill)
    Booking.objects.update(day=day)
    page = client.get(reverse("host_page", args=[booking.host.secret])).content.decode()
    assert "Bring gloves." in page
    assert reverse("day", args=[day.pk]) in page
    withdraw = reverse("host_withdraw", args=[booking.host.secret, booking.pk])
    assert client.get(withdraw).status_code == 405
    assert "withdrawn" in client.post(withdraw, follow=True).content.decode()
    again = client.post(withdraw, follow=True).content.decode()
    assert "This request is withdrawn already." in again


def test_a_day_that_is_not_open_is_not_linked_for_its_host(client: Client) -> None:
    day = factories.make_day(state=Workday.State.DRAFT)
    booking = make_booking(state=Booking.State.ACCEPTED, day=day)
    page = client.get(reverse("host_page", args=[booking.host.secret])).content.decode()
    assert reverse("day", args=[day.pk]) not in page
    assert "It opens for sign-up soon" in page


def test_a_host_reaches_nothing_of_another_host(client: Client) -> None:
    mine, other = make_booking(), make_booking(host=factories.make_host(name="Other Church"))
    assert client.get(reverse("host_page", args=["altered"])).status_code == 404
    page = client.get(reverse("host_page", args=[mine.host.secret])).content.decode()
    assert "Other Church" not in page
    foreign = reverse("host_withdraw", args=[mine.host.secret, other.pk])
    assert client.post(foreign).status_code == 404
    other.refresh_from_db()
    assert other.state == Booking.State.ASKED


def day_typed(cemetery_id: int, **overrides: Any) -> dict[str, Any]:
    return {
        "cemetery": cemetery_id,
        "purpose": "clinic",
        "teaches": factories.skill("cleaning").pk,
        "on": "2026-06-13",
        "starts": "09:00",
        "ends": "15:00",
        "meeting_point": "At the gate",
        "capacity": "20",
        "fewest": "4",
    } | overrides


def test_the_form_of_the_clinic_is_filled_from_the_request(client: Client) -> None:
    cemetery = factories.make_cemetery()
    booking = make_booking(cemetery=cemetery)
    sign_in(client, factories.make_staff())
    form = client.get(reverse("booking_accept", args=[booking.pk])).context["form"]
    shown = {name: form[name].value() for name in ("cemetery", "on", "capacity", "purpose")}
    assert shown == {
        "cemetery": cemetery.pk,
        "on": date(2026, 6, 13),
        "capacity": 20,
        "purpose": "clinic",
    }


def test_an_organiser_accepts_and_the_clinic_is_open_at_once(client: Client) -> None:
    booking, cemetery = make_booking(), factories.make_cemetery()
    factories.make_permission(cemetery)
    factories.make_waiver()
    sign_in(client, factories.make_staff())
    address = reverse("booking_accept", args=[booking.pk])
    client.post(address, day_typed(cemetery.pk, open_now="on"))
    day = Workday.objects.get()
    booking.refresh_from_db()
    assert (booking.day, booking.state) == (day, Booking.State.ACCEPTED)
    assert day.state == Workday.State.OPEN
    assert f"/days/{day.pk}/" in SentMessage.objects.get(reason="booking_accepted").text
    again = client.post(address, day_typed(cemetery.pk))
    assert "This request is accepted already." in again.content.decode()
    assert Workday.objects.count() == 1


def test_a_clinic_without_leave_is_refused_open_and_made_as_a_draft(client: Client) -> None:
    booking, cemetery = make_booking(), factories.make_cemetery()
    sign_in(client, factories.make_staff())
    address = reverse("booking_accept", args=[booking.pk])
    page = client.post(address, day_typed(cemetery.pk, open_now="on")).content.decode()
    assert "No permission of the owner covers Saturday 13 June" in page
    assert "At the gate" in page
    assert not Workday.objects.exists()
    client.post(address, day_typed(cemetery.pk))
    assert Workday.objects.get().state == Workday.State.DRAFT


def test_saying_no_needs_words(client: Client) -> None:
    booking = make_booking()
    sign_in(client, factories.make_staff())
    address = reverse("booking_refuse", args=[booking.pk])
    assert "This field is required." in client.post(address, {}).content.decode()
    client.post(address, {"answer": "The yard has no leave."})
    booking.refresh_from_db()
    assert (booking.state, booking.answer) == (Booking.State.REFUSED, "The yard has no leave.")


def test_a_request_nobody_confirmed_is_not_seen(client: Client) -> None:
    booking = make_booking(host=factories.make_host(name="Not Yet Society", confirmed_at=None))
    sign_in(client, factories.make_staff())
    assert "Not Yet Society" not in client.get(reverse("bookings")).content.decode()
    assert client.get(reverse("booking", args=[booking.pk])).status_code == 404


def test_organisers_see_requests_for_their_cemeteries_and_for_no_cemetery(client: Client) -> None:
    here, elsewhere = factories.make_cemetery(), factories.make_cemetery()
    mine, open_to_all = make_booking(cemetery=here), make_booking()
    foreign = make_booking(cemetery=elsewhere)
    sign_in(client, factories.make_staff(cemetery=here))
    statuses = [
        client.get(reverse("booking", args=[row.pk])).status_code
        for row in (mine, open_to_all, foreign)
    ]
    assert statuses == [200, 200, 404]
    sign_in(client, factories.make_staff(Membership.Role.SUPERVISOR, here))
    assert client.get(reverse("booking", args=[mine.pk])).status_code == 403
