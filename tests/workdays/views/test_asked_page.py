"""The page that says what is asked and why speaks of every personal field of the form."""

import pytest
from django.test import Client
from django.urls import reverse

from coordinator.models import Person
from coordinator.personal import Keep
from tests import factories
from tests.pages import words
from workdays.models import Signature, SignUp
from workdays.queries.asked import asked_lines, declared
from workdays.rules.asked import ASKED

ELSEWHERE = {("person", "languages"), ("signature", "relation"), ("signature", "paper")}


def test_the_page_names_every_personal_field_that_a_sign_up_fills() -> None:
    fields = {
        (model._meta.model_name, name)
        for model in (Person, SignUp, Signature)
        for name in model.PERSONAL
    }
    assert {(one.model, one.field) for one in ASKED} == fields - ELSEWHERE


def test_how_long_is_what_the_model_declares() -> None:
    kept = {line.asked.field: line.kept for line in asked_lines()}
    assert kept["words"] == Keep.AFTER_THE_DAY.value
    assert kept["typed_name"] == Keep.UNTIL_CLAIMS_END.value
    assert declared()["person"] == Person.PERSONAL


@pytest.mark.django_db
def test_the_page_is_open_and_linked_from_the_sign_up(client: Client) -> None:
    page = words(client.get(reverse("asked")))
    assert Keep.AFTER_THE_DAY.value[1:] in page
    assert "15 USC 7001(c)" in page
    assert "on paper" in page or "paper instead" in page


@pytest.mark.django_db
@pytest.mark.usefixtures("at_now")
def test_the_sign_up_page_leads_to_it(client: Client) -> None:
    factories.make_waiver()
    page = words(client.get(reverse("sign_up", args=[factories.make_day().pk])))
    assert reverse("asked") in page
