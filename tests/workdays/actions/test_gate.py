"""People added at the gate, and places given by hand."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from django.urls import reverse

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW, START, WAIVER_TEXT
from workdays import waiting_list
from workdays.actions.gate import WalkUp, Ward, place_by_hand, walk_up
from workdays.actions.places import withdraw
from workdays.actions.sign_ups import Contact, Wishes
from workdays.models import RollEntry, Signature, SignUp, Workday
from workdays.queries.by_hand import placed_by_hand
from workdays.rules.signed_text import sha256
from workdays.rules.young_people import RULES

pytestmark = pytest.mark.django_db
AT = START + timedelta(minutes=10)


def comer(**overrides: Any) -> WalkUp:
    values: dict[str, Any] = {
        "name": "Ana Costa",
        "email": "ana@volunteers.example",
        "contact": Contact("", "Rui Costa", "555-0143"),
        "wishes": Wishes(experience={"cleaning": "some"}, languages=["en"]),
        "typed_name": "ana  costa",
        "text_sha256": sha256(WAIVER_TEXT),
        "press": "one",
    }
    return WalkUp(**(values | overrides))


@pytest.fixture
def day() -> Workday:
    factories.make_waiver()
    return factories.make_day(capacity=2)


def add(day: Workday, who: WalkUp, by: Person, *, organises: bool = True) -> SignUp:
    return walk_up(day.pk, who, by=by, organises=organises, now=AT)


def fill(day: Workday) -> None:
    for _ in range(day.capacity):
        factories.make_sign_up(day)


def test_a_walk_up_comes_has_signed_and_is_on_the_roll(day: Workday, ruth: Person) -> None:
    row = add(day, comer(), ruth)
    signature = Signature.objects.get(person=row.person)
    assert row.state == SignUp.State.COMING
    assert RollEntry.objects.get(person=row.person).recorded_by == ruth
    assert (signature.signed_by, signature.method) == (row.person, "on the device at the gate")
    assert signature.confirmed_at == AT
    entry = AuditEntry.objects.get(verb="added at the gate")
    assert (entry.actor, entry.detail["signature"]) == (ruth, signature.pk)
    copy = SentMessage.objects.get(key=f"waiver-copy:{signature.pk}")
    assert copy.to_address == "ana@volunteers.example"


def test_a_double_press_adds_nobody_twice(day: Workday, ruth: Person) -> None:
    assert add(day, comer(), ruth) == add(day, comer(), ruth)
    assert add(day, comer(name="Bo Lund", typed_name="Bo Lund"), ruth).person.name == "Bo Lund"
    assert SignUp.objects.count() == RollEntry.objects.count() == 2


def test_before_the_day_somebody_is_on_the_list_but_not_on_the_roll(
    day: Workday, ruth: Person
) -> None:
    row = walk_up(day.pk, comer(), by=ruth, organises=True, now=NOW)
    assert row.state == SignUp.State.COMING
    assert not RollEntry.objects.exists()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"typed_name": "Ruth Staff"}, "Ana Costa"),
        ({"text_sha256": "another"}, "once more"),
    ],
)
def test_without_the_own_signature_nobody_is_added(
    day: Workday, ruth: Person, change: dict[str, Any], words: str
) -> None:
    with pytest.raises(Refused, match=words):
        add(day, comer(**change), ruth)
    assert not Person.objects.filter(name="Ana Costa").exists()


def test_a_full_day_wants_the_organiser_and_a_reason(day: Workday, ruth: Person) -> None:
    fill(day)
    with pytest.raises(Refused, match="say why"):
        add(day, comer(), ruth)
    with pytest.raises(Refused, match="ask the organiser"):
        add(day, comer(reason="a mason"), ruth, organises=False)
    row = add(day, comer(reason="a mason"), ruth)
    [by_hand] = placed_by_hand(day)
    assert (by_hand.name, by_hand.why, by_hand.by) == (row.person.name, "a mason", ruth.name)


def test_what_was_signed_before_is_not_asked_again(day: Workday, ruth: Person) -> None:
    known = factories.make_person()
    factories.sign(known)
    row = add(day, comer(known=known, name=known.name, typed_name=""), ruth)
    assert row.person == known
    assert Signature.objects.count() == 1


def test_somebody_known_whose_signature_ran_out_signs_anew(day: Workday, ruth: Person) -> None:
    known = factories.make_person()
    factories.sign(known, valid_until=date(2026, 5, 1))
    who = comer(known=known, name=known.name, typed_name="")
    with pytest.raises(Refused, match=known.name):
        add(day, who, ruth)
    add(day, replace(who, typed_name=known.name), ruth)
    assert Signature.objects.filter(person=known).count() == 2


def child(guardian: Person | None, **overrides: Any) -> WalkUp:
    values: dict[str, Any] = {
        "born_on": date(2014, 1, 2),
        "relation": "mother",
        "agrees": True,
    }
    ward = Ward(**(values | {"guardian": guardian} | overrides))
    typed = guardian.name if guardian else "Nobody"
    return comer(name="Mia Costa", typed_name=typed, press="two", ward=ward, email="")


def test_a_guardian_on_the_list_signs_for_a_child(day: Workday, ruth: Person) -> None:
    guardian = add(day, comer(), ruth).person
    row = add(day, child(guardian), ruth)
    signature = Signature.objects.get(person=row.person, role="guardian")
    assert (row.guardian, row.person.is_adult) == (guardian, False)
    assert (signature.signed_by, signature.role) == (guardian, "guardian")
    assert SentMessage.objects.filter(to_address=guardian.email, key__contains=str(signature.pk))
    agreed = Signature.objects.get(person=row.person, role="minor")
    assert (agreed.signed_by, agreed.text) == (row.person, RULES)
    assert agreed.confirmed_at == signature.confirmed_at


def test_a_mailbox_told_at_the_gate_gets_the_copy_and_no_link_to_the_own_page(
    day: Workday, ruth: Person
) -> None:
    row = add(day, comer(email="slip@volunteers.example"), ruth)
    copy = SentMessage.objects.get(reason="copy of what you signed")
    assert copy.to_address == "slip@volunteers.example"
    assert row.person.secret not in copy.text + copy.html
    assert reverse("again") in copy.text


@pytest.mark.parametrize(
    ("overrides", "words"),
    [
        ({"agrees": False}, "child says yes"),
        ({"relation": ""}, "to the child"),
        ({"born_on": date(2000, 1, 1)}, "18 or older"),
        ({"born_on": date(2026, 6, 1)}, "not come yet"),
    ],
)
def test_a_child_is_not_added_without_what_it_takes(
    day: Workday, ruth: Person, overrides: dict[str, Any], words: str
) -> None:
    guardian = add(day, comer(), ruth).person
    with pytest.raises(Refused, match=words):
        add(day, child(guardian, **overrides), ruth)


def test_a_guardian_who_is_not_there_signs_for_nobody(day: Workday, ruth: Person) -> None:
    with pytest.raises(Refused, match="on the list"):
        add(day, child(factories.make_person()), ruth)


def test_a_known_minor_does_not_sign_for_themselves(day: Workday, ruth: Person) -> None:
    known = factories.make_person(born_on=date(2012, 1, 1), is_adult=False)
    with pytest.raises(Refused, match="guardian signs"):
        add(day, comer(known=known, name=known.name, typed_name=known.name), ruth)


def test_who_waits_is_placed_over_capacity_with_a_reason_only(day: Workday, ruth: Person) -> None:
    fill(day)
    row = factories.make_sign_up(day, state=SignUp.State.WAITING)
    with pytest.raises(Refused, match="2 of 2 places"):
        place_by_hand(row.pk, reason="", by=ruth, now=NOW)
    place_by_hand(row.pk, reason="knows the ground", by=ruth, now=NOW)
    place_by_hand(row.pk, reason="knows the ground", by=ruth, now=NOW)
    row.refresh_from_db()
    assert row.state == SignUp.State.COMING
    assert [one.why for one in placed_by_hand(day)] == ["knows the ground"]


def test_a_stranger_who_has_not_answered_is_not_placed_by_hand(day: Workday, ruth: Person) -> None:
    stranger = factories.make_person(confirmed_at=None)
    row = factories.make_sign_up(day, stranger, state=SignUp.State.UNCONFIRMED)
    with pytest.raises(Refused, match="mailed link"):
        place_by_hand(row.pk, reason="", by=ruth, now=NOW)


def test_nobody_is_offered_a_place_while_the_day_is_over_capacity(
    day: Workday, ruth: Person
) -> None:
    fill(day)
    first, second = (factories.make_sign_up(day, state=SignUp.State.WAITING) for _ in range(2))
    place_by_hand(first.pk, reason="knows the ground", by=ruth, now=NOW)
    withdraw(first.pk, now=NOW)
    waiting_list.settle(day, now=NOW)
    second.refresh_from_db()
    assert second.state == SignUp.State.WAITING


def family_on_the_list(day: Workday) -> tuple[SignUp, SignUp, SignUp]:
    """Return a mother who waits, her child, and an adult whom she named and nobody has asked."""
    mother = factories.make_sign_up(day, state=SignUp.State.WAITING)
    bo = factories.make_person(name="Bo Costa", is_adult=False, confirmed_at=None)
    rui = factories.make_person(name="Rui Costa", confirmed_at=None)
    child = factories.make_sign_up(day, bo, state=mother.state, guardian=mother.person)
    return (
        mother,
        child,
        factories.make_sign_up(day, rui, state=mother.state, named_by=mother.person),
    )


def test_who_was_brought_is_not_placed_by_hand_without_who_brought_them(
    day: Workday, ruth: Person
) -> None:
    mother, child, named = family_on_the_list(day)
    Person.objects.filter(pk=child.person_id).update(confirmed_at=NOW)
    for row in (child, named):
        with pytest.raises(Refused, match=f"comes with {mother.person.name}"):
            place_by_hand(row.pk, reason="her wish", by=ruth, now=NOW)
    assert not SignUp.objects.filter(day=day, state=SignUp.State.COMING).exists()


def test_a_family_is_placed_by_hand_together_with_a_reason_where_it_does_not_fit(
    day: Workday, ruth: Person
) -> None:
    mother, child, named = family_on_the_list(day)
    with pytest.raises(Refused, match="0 of 2 places"):
        place_by_hand(mother.pk, reason="", by=ruth, now=NOW)
    place_by_hand(mother.pk, reason="a mason", by=ruth, now=NOW)
    for row, state in ((mother, "coming"), (child, "coming"), (named, "unconfirmed")):
        row.refresh_from_db()
        assert row.state == state
    assert SentMessage.objects.filter(key=f"answer:{named.pk}").exists()
    assert [one.why for one in placed_by_hand(day)] == ["a mason"]


def test_who_waited_with_a_family_comes_to_the_gate_and_all_have_places(
    day: Workday, ruth: Person
) -> None:
    mother, child, named = family_on_the_list(day)
    who = comer(known=mother.person, name=mother.person.name, typed_name=mother.person.name)
    with pytest.raises(Refused, match="0 of 2 places"):
        add(day, who, ruth)
    add(day, replace(who, reason="a mason"), ruth)
    for row, state in ((mother, "coming"), (child, "coming"), (named, "unconfirmed")):
        row.refresh_from_db()
        assert row.state == state
    assert RollEntry.objects.filter(person=mother.person).count() == 1
    assert [one.why for one in placed_by_hand(day)] == ["a mason"]
