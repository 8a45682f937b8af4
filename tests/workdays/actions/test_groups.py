"""A group's places: held, said yes to, taken one by one, given back, and gone at the cut-off."""

from datetime import timedelta

import pytest

from coordinator.models import AuditEntry
from coordinator.refused import Refused
from tests.factories import NOW, make_day, make_group, make_waiver
from tests.workdays.applications import application
from workdays import waiting_list
from workdays.actions import groups, places
from workdays.actions.sign_ups import sign_up
from workdays.models import Party, SignUp, Workday
from workdays.queries.sign_ups import open_day
from workdays.rules.parties import Companion

pytestmark = pytest.mark.django_db
WISHES = groups.GroupWishes("Troop 12", 4, "Lea Moss", "lea@hollin.example", "555-0144")
BROTHER = Companion(1, "Rui Costa", email="rui@hollin.example")


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(capacity=6)


def come(day: Workday, party: Party, n: int = 1, **overrides: object) -> SignUp:
    typed = application(email=f"ana{n}@hollin.example", **overrides)
    return sign_up(day.pk, typed, now=NOW, group=party.secret)


def test_held_places_count_and_lapse_without_a_yes(day: Workday) -> None:
    party = groups.hold_places(day.pk, WISHES, now=NOW)
    assert open_day(day).reserved == 4
    assert party.held_until is not None
    assert party.held_until <= NOW + timedelta(hours=24)
    assert groups.hold_places(day.pk, WISHES, now=NOW) == party  # a double press
    with pytest.raises(Refused, match="Two places are free"):
        groups.hold_places(day.pk, groups.GroupWishes("Team", 3, "Bo", "b@h.example", ""), now=NOW)
    waiting_list.settle(day, now=party.held_until)
    assert open_day(day).reserved == 0
    with pytest.raises(Refused, match="not held any more"):
        groups.confirm_group(party.pk, now=party.held_until)


def test_a_yes_holds_the_places_until_the_cut_off(day: Workday) -> None:
    party = groups.confirm_group(groups.hold_places(day.pk, WISHES, now=NOW).pk, now=NOW)
    assert party.held_until == day.cut_off_at
    assert party.leader is not None
    assert not party.leader.is_provisional
    waiting_list.settle(day, now=day.cut_off_at - timedelta(seconds=1))
    assert open_day(day).reserved == 4
    waiting_list.settle(day, now=day.cut_off_at)
    assert open_day(day).reserved == 0
    assert AuditEntry.objects.filter(verb="gave places back").count() == 1


def test_a_place_is_taken_from_the_group_and_never_twice(day: Workday) -> None:
    party = make_group(day, reserved=2)
    row = come(day, party, companions=(BROTHER,))
    party.refresh_from_db()
    assert (row.state, row.party, party.reserved) == ("unconfirmed", party, 0)
    assert SignUp.objects.filter(day=day, party=party).count() == 2
    with pytest.raises(Refused, match="No place is left"):
        come(day, party, 2)


def test_a_family_too_large_for_what_is_left_takes_nothing(day: Workday) -> None:
    party = make_group(day, reserved=1)
    with pytest.raises(Refused, match="One place is left"):
        come(day, party, companions=(BROTHER,))
    party.refresh_from_db()
    assert party.reserved == 1
    assert not SignUp.objects.exists()


def test_a_group_keeps_its_places_while_others_wait(day: Workday) -> None:
    party = make_group(day, reserved=6)
    assert sign_up(day.pk, application(), now=NOW).state == "waiting"
    assert come(day, party, 2).state == "unconfirmed"


def test_a_withdrawal_gives_the_place_back_to_the_group(day: Workday) -> None:
    party = make_group(day, reserved=2)
    row = places.confirm(come(day, party).pk, now=NOW)
    places.withdraw(row.pk, now=NOW)
    party.refresh_from_db()
    assert party.reserved == 2


def test_a_renewed_link_dies_and_places_given_back_are_free(day: Workday) -> None:
    party = make_group(day, reserved=5)
    old = party.secret
    assert groups.renew_share_link(party.pk).secret != old
    with pytest.raises(Refused, match="not held any more"):
        come(day, party)
    groups.give_places_back(party.pk, 3, now=NOW)
    assert open_day(day).reserved == 2
    with pytest.raises(Refused, match="give back 1 to 2"):
        groups.give_places_back(party.pk, 3, now=NOW)
