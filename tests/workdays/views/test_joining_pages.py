"""An organiser sees two people side by side, joins them, and parts them again."""

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import Person
from tests import factories
from tests.pages import log_in, words
from workdays.models import Membership

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]


@pytest.fixture
def two() -> tuple[Person, Person]:
    """Make somebody and, by a typing error, somebody again, on two days."""
    made = [
        factories.make_person(name=name, telephone=f"555-019{number}", email=email)
        for number, (name, email) in enumerate(
            [("Ana Costa", "ana@volunteers.example"), ("Anna Costa", "anna@volunteers.example")]
        )
    ]
    for person in made:
        factories.make_sign_up(factories.make_day(), person)
    return made[0], made[1]


def test_two_are_compared_joined_and_parted(client: Client, two: tuple[Person, Person]) -> None:
    ana, anna = two
    log_in(client, factories.make_staff())
    assert "Anna Costa" in words(client.get(reverse("same_person", args=[ana.pk])))
    path = reverse("same_person_as", args=[ana.pk, anna.pk])
    assert "Are Ana Costa and Anna Costa one person?" in words(client.get(path))
    page = words(client.post(path, {"why": "She told me."}, follow=True))
    assert "Also here as Anna Costa, anna@volunteers.example." in page
    assert "She told me." in page
    assert "They are one person already." in words(client.get(path, follow=True))
    assert words(client.get(reverse("person", args=[anna.pk]))).count("<h1>Ana Costa</h1>") == 1
    assert "Anna Costa" not in words(client.get(reverse("people")))
    own = words(client.get(reverse("own_page", args=[anna.secret])))
    for person in two:
        assert reverse("own_day", args=[ana.secret, person.sign_ups.get().pk]) in own
        row = person.sign_ups.get()
        assert client.get(reverse("own_day", args=[anna.secret, row.pk])).status_code == 200
    client.post(reverse("person_part", args=[anna.pk]))
    own = words(client.get(reverse("own_page", args=[anna.secret])))
    assert reverse("own_day", args=[anna.secret, ana.sign_ups.get().pk]) not in own


def test_what_is_doubtful_wants_a_reason_and_what_was_typed_stays(
    client: Client, two: tuple[Person, Person]
) -> None:
    ana, anna = two
    Person.objects.filter(pk=anna.pk).update(is_adult=False)
    log_in(client, factories.make_staff())
    path = reverse("same_person_as", args=[ana.pk, anna.pk])
    answer = client.post(path, {"why": " \0 "})
    assert answer.status_code == 422
    assert "Say why they are one person all the same." in answer.content.decode()
    too_long = client.post(path, {"why": "y" * 300})
    assert "y" * 300 in too_long.content.decode()
    assert client.post(path, {"why": "Wrong date."}).status_code == 302


def test_nobody_joins_people_of_places_that_are_not_theirs(
    client: Client, two: tuple[Person, Person]
) -> None:
    ana, anna = two
    here = ana.sign_ups.get().day.cemetery
    path = reverse("same_person_as", args=[ana.pk, anna.pk])
    log_in(client, factories.make_staff(cemetery=here))
    assert client.get(path).status_code == 404
    page = words(client.get(reverse("same_person", args=[ana.pk]), {"q": "Anna"}))
    assert "anna@volunteers.example" not in page
    assert client.get(reverse("same_person_as", args=[ana.pk, 10**9])).status_code == 404
    log_in(client, factories.make_staff(Membership.Role.SUPERVISOR, here))
    assert client.get(path).status_code == 403
    assert client.post(path, {"why": "x"}).status_code == 403
