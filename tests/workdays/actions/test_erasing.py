"""Being erased: days to come go to others, a group is told, names are kept for claims only."""

from datetime import date, timedelta

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.workdays.applications import application
from workdays.access import Viewer
from workdays.actions.erasing import erase
from workdays.actions.places import confirm
from workdays.actions.sign_ups import sign_up
from workdays.claims import blank_over
from workdays.models import Kept, Party, Signature, SignUp
from workdays.queries.my_data import as_json, data_of
from workdays.queries.people import people_seen_by
from workdays.rules.parties import Companion

pytestmark = pytest.mark.django_db
NOW, START = factories.NOW, factories.START
State = SignUp.State


def states() -> list[str]:
    return list(SignUp.objects.order_by("pk").values_list("state", flat=True))


def test_a_family_goes_together_and_the_places_go_down_the_list() -> None:
    factories.make_waiver()
    day = factories.make_day(capacity=3)
    child = Companion(
        1, "Ida Costa", born_on=date(2014, 7, 1), relation="mother", agrees=True, signs=True
    )
    brother = Companion(2, "Rui Costa", email="rui@hollin.example")
    row = sign_up(day.pk, application(companions=(child, brother)), now=NOW)
    confirm(row.pk, now=NOW)
    first = factories.make_sign_up(day, state=State.WAITING)
    second = factories.make_sign_up(day, state=State.WAITING)
    third = factories.make_sign_up(day, state=State.WAITING)
    erase(row.person_id, now=NOW)
    gone = dict(SignUp.objects.values_list("person__name", "state").filter(pk__lt=first.pk))
    assert gone == {"a volunteer": State.WITHDRAWN, "Rui Costa": State.UNCONFIRMED}
    for one, state in ((first, State.OFFERED), (second, State.OFFERED), (third, State.WAITING)):
        one.refresh_from_db()
        assert one.state == state
    assert Person.objects.filter(erased_at=NOW).count() == 2
    assert sorted(Kept.objects.values_list("name", "until_on")) == [
        ("Ana Costa", date(2038, 7, 1)),  # she signed for a child who is of age in 2032
        ("Ida Costa", date(2038, 7, 1)),
    ]


def test_a_child_who_came_with_another_guardian_too_stays() -> None:
    mother, father = factories.make_person(), factories.make_person()
    child = factories.make_person(name="Ida Costa", is_adult=False, born_on=date(2014, 7, 1))
    for guardian in (mother, father):
        day = factories.make_day()
        factories.make_sign_up(day, guardian)
        factories.make_sign_up(day, child, guardian=guardian)
    erase(mother.pk, now=NOW)
    child.refresh_from_db()
    assert (child.name, child.erased_at) == ("Ida Costa", None)
    assert states() == [State.WITHDRAWN, State.WITHDRAWN, State.COMING, State.COMING]


def test_one_human_being_stored_twice_goes_whole_and_a_namesake_elsewhere_stays() -> None:
    twice = {"name": "Ana Costa", "email": "ana@hollin.example"}
    first, second = factories.make_person(**twice), factories.make_person(**twice)
    namesake = factories.make_person(name="Ana Costa")
    factories.make_sign_up(factories.make_day(), second)
    erase(first.pk, now=NOW)
    assert states() == [State.WITHDRAWN]
    assert list(Person.objects.filter(erased_at__isnull=True)) == [namesake]


def test_a_group_is_told_and_its_free_places_go_back() -> None:
    leader = factories.make_person(name="Lea Moss")
    day = factories.make_day(capacity=4)
    party = factories.make_group(day, leader=leader, name="Troop of Lea Moss", reserved=3)
    member = factories.make_sign_up(day, party=party)
    waits = factories.make_sign_up(day, state=State.WAITING)
    erase(leader.pk, now=NOW)
    party.refresh_from_db()
    assert (party.reserved, party.held_until, party.leader) == (0, None, None)
    assert party.name == "a group"
    for row, state in ((member, State.COMING), (waits, State.OFFERED)):
        row.refresh_from_db()
        assert row.state == state
    told = SentMessage.objects.get(key__startswith="notice:")
    assert told.person == member.person
    assert "Your place stays yours" in told.text
    assert "Lea" not in told.text


@pytest.mark.parametrize("hours", [0, 5])
def test_nobody_is_erased_while_a_day_they_are_on_goes_on(hours: int) -> None:
    row = factories.make_sign_up(factories.make_day())
    with pytest.raises(Refused, match="has begun"):
        erase(row.person_id, now=START + timedelta(hours=hours))
    erase(row.person_id, now=START + timedelta(hours=6))
    assert states() == [State.COMING]  # that they came stays in the record


def test_of_two_presses_at_once_the_second_changes_nothing() -> None:
    person = factories.make_person(name="Ana Costa")
    factories.sign(person)
    erase(person.pk, now=NOW)
    with pytest.raises(Refused, match="erased already"):
        erase(person.pk, now=NOW)
    assert Kept.objects.get().name == "Ana Costa"
    assert SentMessage.objects.count() == 1


def test_staff_end_their_service_first() -> None:
    organiser = factories.make_staff()
    with pytest.raises(Refused, match="You serve as organiser"):
        erase(organiser.pk, now=NOW)
    organiser.memberships.all().delete()
    erase(organiser.pk, now=NOW)
    organiser.refresh_from_db()
    assert (organiser.name, organiser.user) == ("a volunteer", None)


def test_the_erased_come_up_in_no_list_and_their_data_are_what_is_kept() -> None:
    person = factories.make_person(name="Ana Costa")
    factories.sign(person)
    factories.make_sign_up(factories.make_day(), person)
    erase(person.pk, now=NOW)
    person.refresh_from_db()
    everywhere = factories.make_staff()
    none: frozenset[int] = frozenset()
    assert person not in people_seen_by(Viewer(everywhere, none, none, True, False))
    found = as_json(data_of(person))
    assert found["kept"] == [{"name": "Ana Costa", "until_on": "2032-05-06"}]
    assert (found["you"][0]["name"], found["you"][0]["email"]) == ("a volunteer", "")
    details = AuditEntry.objects.filter(verb="erased").values_list("detail", flat=True)
    assert list(details) == [{"kept": True}]


def test_what_never_became_valid_keeps_no_name() -> None:
    factories.make_waiver()
    row = sign_up(factories.make_day().pk, application(), now=NOW)
    erase(row.person_id, now=NOW)
    assert Signature.objects.get().typed_name == ""
    assert not Kept.objects.exists()


def test_who_comes_again_is_somebody_new_and_the_name_kept_goes_by_itself() -> None:
    factories.make_waiver()
    day = factories.make_day(starts_at=START + timedelta(days=7))
    row = sign_up(day.pk, application(), now=NOW)
    confirm(row.pk, now=NOW)
    erase(row.person_id, now=NOW)
    again = sign_up(day.pk, application(), now=NOW)
    assert again.person_id != row.person_id
    last = Kept.objects.get().until_on
    assert last == date(2032, 5, 6)  # from the signature: the day to come is cancelled
    end = START.replace(year=2032, day=8, hour=12)
    blank_over(end - timedelta(days=1, seconds=1))
    assert Kept.objects.get().name == "Ana Costa"
    blank_over(end)
    assert Kept.objects.get().name == ""
    assert Party.objects.count() == 0


def test_the_programmes_own_number_in_a_foot_is_no_word_of_who_gave_it_as_theirs() -> None:
    factories.make_waiver()
    other = sign_up(factories.make_day().pk, application(), now=NOW)
    text = "Your place is held. Hollin County stone days, 555-0100"
    SentMessage.objects.filter(person=other.person).update(text=text, state="sent")
    erase(factories.make_person(telephone="555-0100", email="bo@hollin.example").pk, now=NOW)
    assert SentMessage.objects.get(person=other.person).text == text


def test_an_offer_that_is_over_and_not_yet_swept_stops_nobody_from_being_erased() -> None:
    row = factories.make_sign_up(
        factories.make_day(), state=State.OFFERED, held_until=NOW - timedelta(seconds=5)
    )
    erase(row.person_id, now=NOW)
    row.refresh_from_db()
    assert (row.state, row.person.name) == (State.LAPSED, "a volunteer")
