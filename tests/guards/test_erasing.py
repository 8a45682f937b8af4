"""After somebody is erased nothing of theirs is left anywhere but in what must be kept."""

from collections.abc import Iterator
from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.apps import apps
from django.core import mail as sent_mail
from django.db import models

from coordinator import outbox, sweeping
from coordinator.models import Person, SentMessage
from coordinator.personal import Keep
from tests import factories
from tests.workdays.views.test_my_data import MINE, stored
from training.models import HoursEntry
from workdays import invites
from workdays.actions import seats
from workdays.actions.erasing import erase
from workdays.erasing import BLANKED, DELETED, KEPT, OF_OTHERS, SEARCHED
from workdays.models import CrewPlan, DayMessage, Invitation, Kept, Membership, Party, SignUp

NOW = factories.NOW
CHILD = ["Ida Mine", "guardian-mine", "child-typed-mine"]
# An organiser's words to all of a day are nobody's; who is named in them is looked for.
TYPED = [one for one in MINE if "mine" in one.lower() and one != "message-text-mine"]
MARKS = [*TYPED, *CHILD, "555-0177", "555-0178", "Group mine", "seat-place-mine", "bring-mine"]
MAY_STAY = {
    ("kept", "name"),
    ("signature", "typed_name"),
    ("signature", "relation"),
    ("countersign", "why"),
    ("signoff", "words"),
}
# Marked by the test; the product itself writes it, and nobody types it.
OF_THE_PRODUCT = {("notice", "reason")}


def test_every_model_with_personal_fields_says_how_they_go() -> None:
    lists = [*BLANKED, *DELETED, *SEARCHED, *KEPT, *OF_OTHERS]
    declared = {m for m in apps.get_models() if getattr(m, "PERSONAL", {})}
    assert declared == set(lists) - {DayMessage}
    assert len(lists) == len(set(lists))
    by_the_clock = {Keep.UNTIL_CLAIMS_END, Keep.UNTIL_AUDITED}
    for model in KEPT:
        assert set(getattr(model, "PERSONAL", {}).values()) <= by_the_clock
    for model in (*BLANKED, *DELETED):
        assert not by_the_clock & set(getattr(model, "PERSONAL", {}).values())


def rich() -> Person:
    """Make somebody of whom every sort of thing is stored, for days past and to come."""
    person = stored("Ana", "mine")
    row = person.sign_ups.get()
    day = row.day
    SignUp.objects.filter(pk=row.pk).update(
        brings={"bring-mine": 1}, seats_wanted=1, seats_from="seat-place-mine", cannot_lift=True
    )
    invites.invite(day, person.email, now=NOW)
    driver = factories.make_sign_up(day, seats_offered=3, seats_from="Quarry Corners")
    request = factories.make_seat_request(SignUp.objects.get(pk=row.pk), driver)
    SignUp.objects.filter(pk=row.pk).update(seats_from="seat-place-mine")
    seats.agree(request.pk, driver.pk, now=NOW)
    left = {"people": [["p1", "Ana Mine: nobody speaks Portuguese."]], "jobs": []}
    CrewPlan.objects.create(day=day, left_out=left)
    DayMessage.objects.create(
        day=day, subject="Lift", text="Ride with Ana Mine.", press=uuid4(), at=NOW, by=driver.person
    )
    party = Party.objects.create(day=day, name="with Ana Mine", leader=person)
    child = factories.make_person(
        name="Ida Mine", email=person.email, is_adult=False, born_on=date(2014, 7, 1)
    )
    factories.make_sign_up(day, child, guardian=person, party=party)
    factories.sign(
        child, signed_by=person, role="guardian", relation="guardian-mine", typed_name="typed-mine"
    )
    factories.sign(child, role="minor", typed_name="child-typed-mine")
    factories.make_group(factories.make_day(), leader=person, name="Group mine")
    inviter, user = factories.make_staff(), factories.make_user(email="log-in@mine.example")
    Person.objects.filter(pk=person.pk).update(user=user)
    invited = {"email": person.email, "role": Membership.Role.SUPERVISOR, "invited_at": NOW}
    Invitation.objects.create(invited_by=inviter, **invited)
    person.refresh_from_db()
    return person


def texts_of(row: models.Model) -> Iterator[tuple[str, str]]:
    for field in row._meta.concrete_fields:
        value = getattr(row, field.attname)
        if isinstance(value, memoryview | bytes):
            value = bytes(value).decode(errors="replace")
        if value is not None:
            yield field.name, str(value)


def where_found(marks: list[str]) -> set[tuple[str, str]]:
    """Return model and field of each stored value that holds one of the marks."""
    found = set()
    for model in apps.get_models():
        for row in model._default_manager.all():
            for name, text in texts_of(row):
                if any(mark.lower() in text.lower() for mark in marks):
                    found.add((model._meta.model_name or "", name))
    return found - OF_THE_PRODUCT


@pytest.mark.django_db
def test_nothing_of_the_erased_is_left_outside_what_must_be_kept() -> None:
    person = rich()
    marks = [*MARKS, "log-in@mine.example", person.secret]
    before = where_found(marks)
    assert {("person", "emergency_telephone"), ("signup", "seats_from")} <= before
    assert {("party", "name"), ("crewplan", "left_out"), ("user", "email")} <= before
    assert {("invite", "mailbox"), ("invitation", "email"), ("sentmessage", "text")} <= before
    erase(person.pk, now=NOW)
    sweeping.sweep(NOW)
    sweeping.sweep(NOW)
    assert where_found(marks) == MAY_STAY
    assert set(Kept.objects.values_list("name", flat=True)) == {"Ana Mine", "Ida Mine"}
    assert not SignUp.objects.filter(cannot_lift=True).exists()
    assert list(HoursEntry.objects.values_list("minutes", "person__name")) == [(180, "a volunteer")]


@pytest.mark.django_db
def test_after_the_last_mail_nothing_more_is_sent_to_the_mailbox() -> None:
    person = rich()
    mailbox = person.email
    outbox.queue(
        outbox.Letter("x", mailbox, "Somebody asks", "waits", not_before=NOW), key="no person"
    )
    outbox.queue(outbox.Letter("x", mailbox, "In hand", "in hand"), key="in hand")
    in_hand = SentMessage.objects.filter(key="in hand")
    in_hand.update(state=SentMessage.State.CLAIMED, claimed_at=NOW)
    erase(person.pk, now=NOW)
    later = NOW + timedelta(minutes=2)
    in_hand.update(state=SentMessage.State.QUEUED, not_before=later)  # the mail server was away
    sweeping.sweep(NOW)
    sweeping.sweep(later)
    to_me = [message for message in sent_mail.outbox if message.to == [mailbox]]
    subjects = [str(message.subject) for message in to_me]
    assert subjects[-1].startswith("You are erased")
    assert [s for s in subjects[:-1] if not s.startswith("You are off the list")] == []
    assert not SentMessage.objects.filter(to_address__iexact=mailbox).exists()


@pytest.mark.django_db
def test_two_who_share_a_mailbox_are_not_erased_by_one() -> None:
    day = factories.make_day()
    ana, rui = (
        factories.make_person(name=name, email="costa@volunteers.example", telephone=telephone)
        for name, telephone in (("Ana Costa", "555-0177"), ("Rui Costa", "555-0188"))
    )
    for one in (ana, rui):
        factories.make_sign_up(day, one)
    invites.invite(day, ana.email, now=NOW)
    outbox.queue(outbox.Letter("x", rui.email, "For Rui", "waits", person=rui), key="rui")
    erase(ana.pk, now=NOW)
    sweeping.sweep(NOW)
    rui.refresh_from_db()
    assert (rui.email, rui.telephone) == ("costa@volunteers.example", "555-0188")
    assert rui.sign_ups.get().state == SignUp.State.COMING
    assert "For Rui" in [message.subject for message in sent_mail.outbox]
    assert where_found(["Ana Costa", "555-0177"]) == set()
