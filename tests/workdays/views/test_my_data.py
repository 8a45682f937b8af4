"""A person reads and takes along everything that is stored of them, and nothing of others."""

import json
from datetime import date

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from coordinator import outbox
from coordinator.models import Person
from tests import factories
from tests.pages import words
from training.models import Countersign, HoursEntry
from workdays.models import Notice, RollEntry, SignUp

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("at_now")]
NOW = factories.NOW
MINE = [
    *("Ana Mine", "mine@volunteers.example", "555-0177", "Kin Mine", "555-0178", "pt"),
    *("raking-mine", "fr-mine", "words-mine", "typed-mine", "relation-mine", "affirmed"),
    *("letter-subject-mine", "letter-text-mine", "judged-mine", "corrected-mine", "notice-mine"),
    "message-text-mine",
]


def stored(name: str, mark: str) -> Person:
    """Make somebody of whom everything is stored, each value marked."""
    person = factories.make_person(
        name=f"{name} {mark.title()}",
        email=f"{mark}@volunteers.example",
        telephone="555-0177",
        emergency_name=f"Kin {mark.title()}",
        emergency_telephone="555-0178",
        languages=["pt"],
    )
    day = factories.make_day()
    said = {"raking": f"raking-{mark}"}
    factories.make_sign_up(
        day, person, experience=said, languages=[f"fr-{mark}"], words=f"words-{mark}"
    )
    factories.make_opening_mail(person, day.cemetery)
    factories.sign(person, typed_name=f"typed-{mark}", relation=f"relation-{mark}")
    factories.sign_off(person, "raking", words=f"judged-{mark}")
    RollEntry.objects.create(day=day, person=person, arrived_at=NOW)
    Notice.objects.create(day=day, person=person, reason=f"notice-{mark}")
    entry = HoursEntry.objects.create(
        person=person,
        skill=factories.skill("cleaning"),
        day_number=day.pk,
        block_number=1,
        cemetery_number=day.cemetery_id,
        place=day.cemetery.name,
        on=date(2026, 5, 2),
        minutes=180,
        supervisor=factories.make_person(name="Ben Supervisor"),
    )
    Countersign.objects.create(
        entry=entry,
        decision=Countersign.Decision.CORRECTED,
        minutes=60,
        why=f"corrected-{mark}",
        by=factories.make_person(name="Ben Supervisor"),
    )
    letter = outbox.Letter(
        reason="x",
        to_address=person.email,
        subject=f"letter-subject-{mark}",
        text=f"letter-text-{mark}",
        person=person,
    )
    outbox.queue(letter, key=mark)
    factories.make_message(day, [person], text=f"message-text-{mark}")
    return person


def test_the_file_holds_everything_of_the_person_and_nothing_of_others(client: Client) -> None:
    ana, _ = stored("Ana", "mine"), stored("Rui", "others")
    answer = client.get(reverse("own_data_file", args=[ana.secret]))
    text = answer.content.decode()
    found = json.loads(text)
    assert [value for value in MINE if value not in text] == []
    assert "others" not in text.lower()
    assert "Supervisor" not in text
    assert ana.secret not in text
    assert all(len(rows) == 1 for rows in found.values())
    assert answer["Content-Disposition"] == 'attachment; filename="my-data.json"'
    assert "no-store" in answer["Cache-Control"]


def test_no_personal_field_of_a_person_or_a_sign_up_is_missing(client: Client) -> None:
    found = client.get(reverse("own_data_file", args=[stored("Ana", "mine").secret])).json()
    assert set(Person.PERSONAL) <= set(found["you"][0])
    assert set(SignUp.PERSONAL) <= set(found["sign_ups"][0])


def test_the_page_shows_what_the_file_holds_and_escapes_it(client: Client) -> None:
    ana = stored("Ana", "mine")
    outbox.queue(
        outbox.Letter(reason="x", to_address="a@b.example", subject="<b>", text="", person=ana),
        key="markup",
    )
    page = words(client.get(reverse("own_data", args=[ana.secret])))
    assert [value for value in MINE if value not in page] == []
    assert "<b>" not in page
    assert "&lt;b&gt;" in page


def test_somebody_of_whom_little_is_stored_reads_that(client: Client) -> None:
    person = factories.make_person()
    assert "Nothing." in words(client.get(reverse("own_data", args=[person.secret])))
    assert client.get(reverse("own_data", args=["altered"])).status_code == 404


def test_more_rows_take_no_more_statements(client: Client) -> None:
    ana = stored("Ana", "mine")
    counts = []
    for _ in range(2):
        for _ in range(3):
            factories.make_sign_up(factories.make_day(), ana)
            factories.sign(ana)
            factories.sign_off(ana, "raking")
        with CaptureQueriesContext(connection) as found:
            client.get(reverse("own_data_file", args=[ana.secret]))
        counts.append(len(found))
    assert counts[0] == counts[1]
