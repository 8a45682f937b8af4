"""A known person signs up for another day by the own link."""

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import Person, SentMessage
from tests.factories import (
    NOW,
    make_cemetery,
    make_day,
    make_person,
    make_sign_up,
    make_waiver,
    rewrite_waivers,
    sign,
)
from workdays.forms.guard import stamp
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.rules.parties import code

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def person() -> Person:
    return make_person(name="Ana Costa", email="ana@hollin.example", telephone="555-0142")


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(make_cemetery(name="Alder Hill"), capacity=2)


def address(person: Person, day: Workday) -> str:
    return reverse("own_join", args=[person.secret, day.pk])


def typed(**overrides: object) -> dict[str, object]:
    values: dict[str, object] = {
        "telephone": "555-0142",
        "emergency_name": "Rui Costa",
        "emergency_telephone": "555-0143",
        "is_adult": "on",
        "comes_at": "20260509T1300Z",
        "leaves_at": "20260509T1900Z",
        "affirm": "on",
        "typed_name": "Ana Costa",
        "text_sha256": Waiver.objects.latest("pk").text_sha256,
        "age": stamp(),
    }
    return values | overrides


def test_the_own_page_leads_to_the_form_with_what_is_known(
    client: Client, person: Person, day: Workday
) -> None:
    earlier = make_sign_up(make_day(), person, experience={"mending": "lots"}, languages=["es"])
    html = client.get(reverse("own_page", args=[person.secret])).content.decode()
    assert address(person, day) in html
    assert address(person, earlier.day) not in html
    form = client.get(address(person, day)).content.decode()
    assert 'value="555-0142"' in form
    assert '<option value="lots" selected>' in form
    assert '<option value="20260509T1900Z" selected>15:00</option>' in form
    assert 'name="email"' not in form
    assert "Ana Costa" in form


def test_a_signature_is_all_that_is_wanted(client: Client, person: Person, day: Workday) -> None:
    client.post(address(person, day), typed())
    row = SignUp.objects.get()
    assert (row.state, row.person) == (SignUp.State.COMING, person)
    assert Signature.objects.get().confirmed_at == NOW
    assert Person.objects.count() == 1
    reasons = set(SentMessage.objects.values_list("reason", flat=True))
    assert reasons == {"copy of what you signed", "calendar entry"}


def test_what_was_signed_and_holds_is_not_signed_again(
    client: Client, person: Person, day: Workday
) -> None:
    sign(person)
    html = client.get(address(person, day)).content.decode()
    assert '<p class="note">What you signed before holds on this day: you need not' in html
    client.post(address(person, day), typed(affirm="", typed_name=""))
    assert SignUp.objects.get().state == SignUp.State.COMING
    assert Signature.objects.count() == 1
    assert set(SentMessage.objects.values_list("reason", flat=True)) == {"calendar entry"}


def test_what_does_not_hold_any_more_is_signed_again(
    client: Client, person: Person, day: Workday
) -> None:
    rewrite_waivers(validity=Waiver.Validity.NEW_VERSION)
    sign(person)
    make_waiver(text="Another text.", validity=Waiver.Validity.NEW_VERSION)
    html = client.post(address(person, day), typed(affirm="", typed_name="")).content.decode()
    assert "Without this nobody can come." in html
    assert not SignUp.objects.exists()
    client.post(address(person, day), typed())
    assert SignUp.objects.exists()


def test_a_child_is_signed_for_each_time(client: Client, person: Person, day: Workday) -> None:
    sign(person)
    child = {"name": "Bo", "born_on": "2014-06-30", "relation": "mother"}
    said = {code(name, 1): value for name, value in child.items()}
    said |= {code("signs", 1): "on", code("agrees", 1): "on"}
    unsigned = typed(affirm="", typed_name="", **said)
    html = client.post(address(person, day), unsigned).content.decode()
    assert "You sign for the child, so it is wanted." in html
    assert not SignUp.objects.exists()
    client.post(address(person, day), typed(**said))
    assert SignUp.objects.count() == 2


def test_a_signature_under_another_name_is_refused(
    client: Client, person: Person, day: Workday
) -> None:
    html = client.post(address(person, day), typed(typed_name="Bo")).content.decode()
    assert "same name as at the top" in html
    assert not SignUp.objects.exists()


def test_nobody_joins_twice_and_what_was_typed_stays(
    client: Client, person: Person, day: Workday
) -> None:
    make_sign_up(day, person)
    html = client.post(address(person, day), typed(emergency_name="Another Kin")).content.decode()
    assert "signed up for this day already" in html
    assert "Another Kin" in html


def test_a_full_day_puts_a_known_person_on_the_list(
    client: Client, person: Person, day: Workday
) -> None:
    for _ in range(2):
        make_sign_up(day)
    client.post(address(person, day), typed())
    row = SignUp.objects.get(person=person)
    assert (row.state, row.held_until) == (SignUp.State.WAITING, None)


@pytest.mark.parametrize("state", [Workday.State.CALLED_OFF, Workday.State.CLOSED])
def test_a_day_that_takes_nobody_says_so(
    client: Client, person: Person, day: Workday, state: str
) -> None:
    Workday.objects.update(state=state)
    html = client.post(address(person, day), typed()).content.decode()
    assert "Nobody can sign up" in html
    assert not SignUp.objects.exists()
