"""A family: places together, a guardian's signature for each child, adults who answer alone."""

from dataclasses import replace
from datetime import date, timedelta

import pytest
import time_machine

from coordinator.models import AuditEntry, SentMessage
from coordinator.refused import Refused
from tests.factories import NOW, WAIVER_TEXT, make_day, make_person, make_sign_up, make_waiver
from tests.workdays.applications import application
from workdays.actions import places
from workdays.actions.answering import answer
from workdays.actions.own import change
from workdays.actions.sign_ups import sign_up
from workdays.models import Invite, Party, Signature, SignUp, Workday
from workdays.queries.planning import planning_facts
from workdays.queries.waivers import people_with_waiver, people_with_waiver_by_day
from workdays.rules.parties import Companion
from workdays.rules.signed_text import sha256
from workdays.rules.young_people import RULES
from workdays.sweeping import lapse_due, warn_due
from workdays.waiting_list import settle

pytestmark = pytest.mark.django_db
State = SignUp.State
BROTHER = Companion(1, "Rui Costa", email="rui@hollin.example")
CHILDREN = (
    Companion(2, "Bo Costa", "", date(2014, 6, 30), "mother", True, True),
    Companion(3, "Mia Costa", "", date(2016, 1, 2), "mother", True, True),
)


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(capacity=4)


def family(day: Workday, **overrides: object) -> SignUp:
    asked = application(companions=(BROTHER, *CHILDREN), **overrides)
    return sign_up(day.pk, asked, now=NOW)


def states(day: Workday) -> dict[str, str]:
    return {row.person.name.split()[0]: row.state for row in SignUp.objects.filter(day=day)}


def mails(key: str) -> list[str]:
    rows = SentMessage.objects.filter(key__startswith=f"{key}:").order_by("pk")
    return [row.to_address for row in rows]


def test_a_family_holds_its_places_together_and_only_the_adult_has_mail(day: Workday) -> None:
    row = family(day)
    assert states(day) == dict.fromkeys(["Ana", "Rui", "Bo", "Mia"], "unconfirmed")
    assert set(SignUp.objects.values_list("held_until", flat=True)) == {row.held_until}
    assert [mail.to_address for mail in SentMessage.objects.all()] == ["ana@hollin.example"]
    assert Party.objects.get().leader == row.person


def test_a_yes_brings_the_children_and_asks_the_other_adult(day: Workday) -> None:
    places.confirm(family(day).pk, now=NOW)
    assert states(day) == {"Ana": "coming", "Rui": "unconfirmed", "Bo": "coming", "Mia": "coming"}
    brother = SignUp.objects.get(person__name="Rui Costa")
    assert brother.held_until == day.cut_off_at
    assert mails("answer") == ["rui@hollin.example"]
    asked = SentMessage.objects.get(key__startswith="answer:")
    for part in (asked.subject, asked.text, asked.html):
        assert "Costa" not in part
        assert "Rui" not in part


def test_each_child_has_the_guardians_signature_and_agrees_to_the_rules(day: Workday) -> None:
    row = family(day)
    bo = SignUp.objects.get(person__name="Bo Costa").person
    assert not people_with_waiver(day, [bo.pk])
    places.confirm(row.pk, now=NOW)
    given = Signature.objects.get(person=bo, role=Signature.Role.GUARDIAN)
    assert (given.signed_by, given.relation, given.text) == (row.person, "mother", WAIVER_TEXT)
    agreed = Signature.objects.get(person=bo, role=Signature.Role.MINOR)
    assert (agreed.signed_by, agreed.text, agreed.confirmed_at) == (bo, RULES, NOW)
    assert people_with_waiver(day, [bo.pk]) == {bo.pk}
    copy = SentMessage.objects.get(key__startswith="waiver-copy:")
    assert "for Bo Costa, as mother" in copy.text
    given.withdrawn_at = NOW
    given.save(update_fields=["withdrawn_at"])
    assert not people_with_waiver(day, [bo.pk])
    assert people_with_waiver_by_day({day: [bo.pk]}) == {day.pk: set()}


def test_the_plan_knows_the_guardian_and_the_family_has_one_calendar_entry(day: Workday) -> None:
    row = family(day)
    places.confirm(row.pk, now=NOW)
    facts = {person.name: person for person in planning_facts(day).people}
    assert facts["Bo Costa"].guardian == facts["Ana Costa"].id
    assert not facts["Bo Costa"].adult
    assert not facts["Bo Costa"].lift
    assert "Rui Costa" not in facts
    assert Invite.objects.get().mailbox == "ana@hollin.example"
    entry = SentMessage.objects.get(calendar_method="REQUEST")
    assert entry.calendar is not None
    assert b"Bo Costa" in bytes(entry.calendar).replace(b"\r\n ", b"")


def brother_of(day: Workday) -> SignUp:
    places.confirm(family(day).pk, now=NOW)
    return SignUp.objects.get(person__name="Rui Costa")


def test_an_adult_who_was_named_signs_alone_and_comes(day: Workday) -> None:
    brother = brother_of(day)
    assert not brother.person.signatures.exists()
    said = application(name="Rui da Costa", email="", typed_name="Rui da Costa")
    answer(brother.pk, said, now=NOW)
    brother.refresh_from_db()
    assert (brother.state, brother.held_until) == (State.COMING, None)
    assert brother.person.name == "Rui da Costa"
    assert brother.person.email == "rui@hollin.example"
    own = brother.person.signatures.get()
    assert (own.signed_by, own.confirmed_at) == (brother.person, NOW)
    assert Invite.objects.filter(mailbox="rui@hollin.example").exists()


@pytest.mark.parametrize(
    ("wrong", "code"),
    [({"is_adult": False}, "minor"), ({"text_sha256": sha256("other")}, "waiver")],
)
def test_an_answer_without_age_or_with_another_text_is_refused(
    day: Workday, wrong: dict[str, object], code: str
) -> None:
    brother = brother_of(day)
    with pytest.raises(Refused) as caught:
        answer(brother.pk, application(**wrong), now=NOW)
    assert [refusal.code for refusal in caught.value.refusals] == [code]
    brother.refresh_from_db()
    assert brother.state == State.UNCONFIRMED


def test_a_place_nobody_answered_for_lapses_at_the_cut_off_and_cannot_be_taken_after(
    day: Workday,
) -> None:
    brother = brother_of(day)
    lapse_due(day.cut_off_at)
    brother.refresh_from_db()
    assert brother.state == State.LAPSED
    with pytest.raises(Refused):
        answer(brother.pk, application(), now=day.cut_off_at)


def test_who_has_not_answered_is_warned_once_on_the_evening_before(day: Workday) -> None:
    with time_machine.travel(NOW, tick=False):
        brother_of(day)
    evening = day.cut_off_at - timedelta(hours=24)  # 18:00 in Detroit
    warn_due(evening - timedelta(minutes=1))
    assert mails("warning") == []
    warn_due(evening)
    warn_due(evening + timedelta(hours=1))
    assert mails("warning") == ["rui@hollin.example"]


def test_a_family_lapses_together_when_nobody_says_yes(day: Workday) -> None:
    family(day)
    lapse_due(NOW + timedelta(hours=24))
    assert set(states(day).values()) == {"lapsed"}
    assert mails("answer") == []


def test_a_guardian_who_withdraws_takes_the_children_along(day: Workday) -> None:
    row = family(day)
    places.confirm(row.pk, now=NOW)
    places.withdraw(row.pk, now=NOW)
    assert states(day) == {
        "Ana": "withdrawn",
        "Rui": "unconfirmed",
        "Bo": "withdrawn",
        "Mia": "withdrawn",
    }
    assert AuditEntry.objects.filter(verb="left with the guardian").count() == 2
    assert SentMessage.objects.filter(calendar_method="CANCEL").count() == 1


def test_one_child_may_stay_at_home(day: Workday) -> None:
    row = family(day)
    places.confirm(row.pk, now=NOW)
    places.withdraw(SignUp.objects.get(person__name="Mia Costa").pk, now=NOW)
    assert states(day)["Bo"] == states(day)["Ana"] == "coming"
    assert not SentMessage.objects.filter(calendar_method="CANCEL").exists()


def test_a_family_that_does_not_fit_waits_together_and_is_offered_places_together(
    day: Workday,
) -> None:
    here = make_sign_up(day)
    row = family(day)
    assert set(states(day).values()) == {"coming", "waiting"}
    places.confirm(row.pk, now=NOW)
    assert SignUp.objects.filter(state=State.WAITING).count() == 4
    assert mails("answer") == []
    with pytest.raises(Refused):
        places.take(SignUp.objects.get(person__name="Bo Costa").pk, now=NOW)
    places.withdraw(here.pk, now=NOW)
    assert SignUp.objects.filter(state=State.OFFERED).count() == 4
    assert mails("offer") == ["ana@hollin.example"]
    places.take(row.pk, now=NOW)
    assert states(day)["Bo"] == "coming"
    assert states(day)["Rui"] == "unconfirmed"
    assert mails("answer") == ["rui@hollin.example"]


def test_an_offer_that_nobody_takes_lapses_for_the_whole_family(day: Workday) -> None:
    here = make_sign_up(day)
    places.confirm(family(day).pk, now=NOW)
    places.withdraw(here.pk, now=NOW)
    settle(day, now=NOW + timedelta(hours=24))
    gone = SignUp.objects.exclude(pk=here.pk).values_list("state", flat=True)
    assert set(gone) == {"lapsed"}


def test_a_form_sent_twice_makes_one_party(day: Workday) -> None:
    assert family(day).pk == family(day).pk
    assert SignUp.objects.count() == 4
    assert Party.objects.count() == 1


def test_who_comes_by_the_own_link_brings_known_children_and_no_second_row_of_them() -> None:
    make_waiver()
    ana = make_person(name="Ana Costa", email="ana@hollin.example")
    for day in (make_day(), make_day()):
        sign_up(day.pk, application(companions=CHILDREN), now=NOW, person=ana)
        assert states(day) == dict.fromkeys(["Ana", "Bo", "Mia"], "coming")
    assert SignUp.objects.filter(guardian=ana).values("person").distinct().count() == 2


def test_a_minor_cannot_sign_up_by_a_link_of_their_own(day: Workday) -> None:
    bo = make_person(is_adult=False, name="Bo Costa")
    with pytest.raises(Refused) as caught:
        sign_up(day.pk, application(name="Bo Costa"), now=NOW, person=bo)
    assert [refusal.code for refusal in caught.value.refusals] == ["minor"]


def test_children_come_and_leave_when_their_guardian_does(day: Workday) -> None:
    row = family(day)
    places.confirm(row.pk, now=NOW)
    asked = application()
    early = replace(asked.wishes, leaves_at=day.ends_at - timedelta(hours=2))
    change(row.pk, asked.contact, early, now=NOW)
    bo = SignUp.objects.get(person__name="Bo Costa")
    assert bo.leaves_at == early.leaves_at
    change(bo.pk, asked.contact, replace(early, leaves_at=None), now=NOW)
    bo.refresh_from_db()
    assert bo.leaves_at == early.leaves_at


def test_more_people_than_places_are_refused(day: Workday) -> None:
    Workday.objects.update(capacity=3)
    with pytest.raises(Refused) as caught:
        family(day)
    assert [refusal.code for refusal in caught.value.refusals] == ["companions"]
    assert not SignUp.objects.exists()
