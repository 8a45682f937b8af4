"""What was signed is recorded whole, never edited, and can be taken back."""

from datetime import timedelta
from typing import Any

import pytest
from django.db import transaction

from coordinator import audit
from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.workdays.applications import application
from tests.workdays.records import see_that_all_is_recorded
from workdays.actions.sign_ups import sign_up
from workdays.actions.signatures import withdraw_signature
from workdays.models import CrewPlan, PlanRun, Signature, SignUp, Waiver
from workdays.models.frozen import Frozen
from workdays.queries.signatures import record_of
from workdays.queries.waivers import people_with_waiver
from workdays.rules.signature_facts import FACTS, missing_facts

pytestmark = pytest.mark.django_db
NOW = factories.NOW


@pytest.fixture
def signed() -> Signature:
    factories.make_waiver()
    day = factories.make_day()
    ana = factories.make_person(name="Ana Costa")
    factories.make_sign_up(day, ana)
    return factories.sign(ana)


@pytest.mark.parametrize("known", [False, True])
def test_a_sign_up_records_every_fact_of_the_signature(known: bool) -> None:
    factories.make_waiver()
    day = factories.make_day()
    person = factories.make_person(name=application().name) if known else None
    row = sign_up(day.pk, application(), now=NOW, person=person)
    see_that_all_is_recorded(row.person.signatures.get())


@pytest.mark.parametrize("fact", FACTS, ids=lambda fact: fact.name)
def test_a_record_without_a_fact_is_found(signed: Signature, fact: Any) -> None:
    record = record_of(signed)
    assert missing_facts(record) == []
    assert fact.words in missing_facts(record | {fact.name: ""})


def test_a_record_under_another_text_is_found(signed: Signature) -> None:
    record = record_of(signed) | {"text": "Other words."}
    assert missing_facts(record) == ["the hash of this very text"]


def test_a_guardian_says_what_they_are_to_the_minor(signed: Signature) -> None:
    record = record_of(signed) | {"role": "guardian"}
    assert missing_facts(record) == ["what the signer is to the minor"]
    assert missing_facts(record | {"relation": "mother"}) == []


@pytest.mark.parametrize("field", ["text", "text_sha256", "version", "signed_at", "typed_name"])
def test_a_signature_is_never_edited(signed: Signature, field: str) -> None:
    with pytest.raises(Frozen):
        signed.save(update_fields=[field])
    with pytest.raises(Frozen):
        signed.save()
    with pytest.raises(Frozen):
        Signature.objects.filter(pk=signed.pk).update(**{field: getattr(signed, field)})
    with pytest.raises(Frozen):
        signed.delete()
    with pytest.raises(Frozen):
        Signature.objects.all().delete()


def test_a_published_text_is_never_edited(signed: Signature) -> None:
    row = signed.waiver
    row.text = "Other words."
    for write in (row.save, lambda: row.save(update_fields=["text"]), row.delete):
        with pytest.raises(Frozen):
            write()
    with pytest.raises(Frozen):
        Waiver.objects.update(text="Other words.")
    with pytest.raises(Frozen), transaction.atomic():
        Waiver.objects.bulk_update([row], ["text"])
    assert Waiver.objects.get().text == signed.text


def test_what_is_taken_back_holds_no_longer_and_stays_on_record(
    signed: Signature, ruth: Person
) -> None:
    day = SignUp.objects.get().day
    CrewPlan.objects.create(day=day)
    assert people_with_waiver(day, [signed.person_id])
    withdraw_signature(signed.pk, now=NOW)
    assert not people_with_waiver(day, [signed.person_id])
    kept = Signature.objects.get()
    assert (kept.withdrawn_at, kept.text) == (NOW, signed.text)
    assert PlanRun.objects.filter(day=day).exists()
    entry = AuditEntry.objects.get(verb="took back")
    assert entry.actor == signed.signed_by
    assert "Ana" not in str(entry.detail)
    mail = SentMessage.objects.get(person=ruth)
    assert "Ana Costa took back what they signed" in mail.text


def test_a_day_for_which_another_signature_holds_is_not_planned_again(signed: Signature) -> None:
    day = SignUp.objects.get().day
    CrewPlan.objects.create(day=day)
    factories.sign(signed.person, signed.waiver)
    withdraw_signature(signed.pk, now=NOW)
    assert not PlanRun.objects.exists()
    assert not SentMessage.objects.exists()


def test_a_day_behind_is_left_as_it_was(signed: Signature, ruth: Person) -> None:
    withdraw_signature(signed.pk, now=factories.START + timedelta(days=2))
    assert not SentMessage.objects.exists()


def test_nothing_is_taken_back_twice_nor_before_it_holds(signed: Signature, ruth: Person) -> None:
    withdraw_signature(signed.pk, now=NOW, why="asked", actor=audit.by_login(ruth))
    assert AuditEntry.objects.get(verb="took back").detail["why"] == "asked"
    with pytest.raises(Refused, match="taken back already"):
        withdraw_signature(signed.pk, now=NOW)
    waits = factories.sign(signed.person, signed.waiver, confirmed_at=None)
    with pytest.raises(Refused, match="does not hold yet"):
        withdraw_signature(waits.pk, now=NOW)
