"""What somebody does with a place: confirm, take, keep, withdraw; whom the clock lets go."""

from datetime import timedelta

import pytest

from coordinator import sweeping as kernel
from coordinator.models import AuditEntry, SentMessage
from coordinator.refused import Refused
from tests.factories import NOW, make_cemetery, make_day, make_person, make_sign_up, make_waiver
from tests.workdays.applications import application, last_mail
from workdays import sweeping
from workdays.actions import places
from workdays.actions.sign_ups import sign_up
from workdays.models import CrewPlan, PlanRun, Signature, SignUp, Workday

pytestmark = pytest.mark.django_db
State = SignUp.State
HOUR = timedelta(hours=1)


@pytest.fixture
def day() -> Workday:
    make_waiver()
    return make_day(make_cemetery(name="Alder Hill"), capacity=1)


def state(row: SignUp) -> str:
    row.refresh_from_db()
    return row.state


def refused(act: object, row: SignUp, *, now: object = NOW) -> list[str]:
    assert callable(act)
    with pytest.raises(Refused) as caught:
        act(row.pk, now=now)
    return [refusal.code for refusal in caught.value.refusals]


def test_yes_makes_the_person_the_signature_and_the_place_sure(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    places.confirm(row.pk, now=NOW + HOUR)
    assert state(row) == State.COMING
    assert row.held_until is None
    assert row.person.confirmed_at == NOW + HOUR
    assert Signature.objects.get().confirmed_at == NOW + HOUR
    entry = AuditEntry.objects.filter(verb="confirmed").get()
    assert (entry.actor, entry.detail) == (row.person, {"day": day.pk, "state": "coming"})


def test_yes_mails_the_copy_of_the_waiver_and_the_calendar_entry(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    places.confirm(row.pk, now=NOW)
    copy = SentMessage.objects.get(reason="copy of what you signed")
    signature = Signature.objects.get()
    assert signature.text in copy.text
    assert signature.text_sha256 in copy.text
    assert f"/you/{row.person.secret}/" in copy.text
    assert "2026-05-06 14:00 UTC" in copy.text
    entry = SentMessage.objects.get(calendar_method="REQUEST")
    assert entry.to_address == "ana@hollin.example"


def test_yes_twice_changes_nothing_and_mails_nothing_more(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    places.confirm(row.pk, now=NOW)
    mails, entries = SentMessage.objects.count(), AuditEntry.objects.count()
    places.confirm(row.pk, now=NOW)
    assert (SentMessage.objects.count(), AuditEntry.objects.count()) == (mails, entries)


def test_yes_comes_too_late_when_the_place_has_lapsed(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    assert refused(places.confirm, row, now=NOW + 24 * HOUR) == ["lapsed"]
    assert state(row) == State.UNCONFIRMED
    assert Signature.objects.get().confirmed_at is None


def test_yes_to_a_day_that_was_called_off_is_refused(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    Workday.objects.update(state=Workday.State.CALLED_OFF)
    assert refused(places.confirm, row) == ["called-off"]


def test_yes_of_somebody_who_waits_keeps_the_place_on_the_list(day: Workday) -> None:
    make_sign_up(day)
    row = sign_up(day.pk, application(), now=NOW)
    places.confirm(row.pk, now=NOW)
    assert state(row) == State.WAITING
    assert row.held_until is None
    assert not SentMessage.objects.exclude(calendar_method="").exists()
    assert "waiting list" in last_mail().text


def test_yes_of_the_first_who_waits_takes_a_place_that_is_free_by_then(day: Workday) -> None:
    other = make_sign_up(day)
    row = sign_up(day.pk, application(), now=NOW)
    places.withdraw(other.pk, now=NOW)
    places.confirm(row.pk, now=NOW)
    assert state(row) == State.COMING


def test_a_withdrawal_offers_the_place_to_the_next(day: Workday) -> None:
    row = make_sign_up(day)
    first, second = (make_sign_up(day, state=State.WAITING) for _ in range(2))
    places.withdraw(row.pk, now=NOW)
    assert state(row) == State.WITHDRAWN
    assert (state(first), state(second)) == (State.OFFERED, State.WAITING)
    assert first.held_until == NOW + 22 * HOUR, "8:00 of the next day at the cemetery"
    mail = SentMessage.objects.get(reason="a place is free")
    assert mail.to_address == first.person.email
    assert "/offer/" in mail.text
    assert AuditEntry.objects.filter(verb="withdrew", thing_id=str(row.pk)).exists()
    assert AuditEntry.objects.filter(verb="offered", thing_id=str(first.pk)).exists()


def test_an_offer_is_taken_once_and_in_time(day: Workday) -> None:
    row = make_sign_up(day, state=State.OFFERED, held_until=NOW + HOUR)
    assert refused(places.take, row, now=NOW + HOUR) == ["lapsed"]
    places.take(row.pk, now=NOW)
    assert (state(row), row.held_until) == (State.COMING, None)
    assert SentMessage.objects.filter(calendar_method="REQUEST").count() == 1
    places.take(row.pk, now=NOW)
    assert SentMessage.objects.count() == 1


def test_an_offer_that_is_over_goes_to_the_next_by_the_sweep(day: Workday) -> None:
    first = make_sign_up(day, state=State.OFFERED, held_until=NOW)
    second = make_sign_up(day, state=State.WAITING)
    sweeping.lapse_due(NOW)
    assert (state(first), state(second)) == (State.LAPSED, State.OFFERED)
    lapsed = AuditEntry.objects.get(verb="lapsed")
    assert (lapsed.actor, lapsed.rule, lapsed.detail["was"]) == (None, "held-until", "offered")


def test_the_sweep_lets_go_who_did_not_answer_and_is_harmless_twice(day: Workday) -> None:
    row = sign_up(day.pk, application(), now=NOW)
    waits = sign_up(day.pk, application(email="li@hollin.example"), now=NOW)
    before = SentMessage.objects.count()
    sweeping.lapse_due(NOW + 24 * HOUR - timedelta(seconds=1))
    assert (state(row), state(waits)) == (State.UNCONFIRMED, State.WAITING)
    for _ in range(2):
        sweeping.lapse_due(NOW + 24 * HOUR)
    assert (state(row), state(waits)) == (State.LAPSED, State.LAPSED)
    assert AuditEntry.objects.filter(verb="lapsed").count() == 2
    assert SentMessage.objects.count() == before


def test_more_places_are_offered_by_the_sweep(day: Workday) -> None:
    make_sign_up(day)
    waits = make_sign_up(day, state=State.WAITING)
    Workday.objects.update(capacity=2)
    sweeping.lapse_due(NOW)
    assert state(waits) == State.OFFERED


def test_nothing_is_offered_from_the_cut_off_on_or_on_a_day_called_off(day: Workday) -> None:
    waits = make_sign_up(day, state=State.WAITING)
    sweeping.lapse_due(day.cut_off_at)
    Workday.objects.update(state=Workday.State.CALLED_OFF)
    sweeping.lapse_due(NOW)
    assert state(waits) == State.WAITING


def test_the_sweep_of_the_kernel_knows_of_days() -> None:
    assert sweeping.lapse_due in kernel.SWEEPERS


def test_a_planned_day_is_planned_anew_when_who_comes_has_changed(day: Workday) -> None:
    comes, waits = make_sign_up(day), make_sign_up(day, state=State.WAITING)
    other = make_day(day.cemetery)
    places.withdraw(make_sign_up(other).pk, now=NOW)
    assert not PlanRun.objects.exists(), "that day has no plan"
    CrewPlan.objects.create(day=day)
    places.withdraw(waits.pk, now=NOW)
    assert not PlanRun.objects.exists(), "who waited was in no crew"
    places.withdraw(comes.pk, now=NOW)
    run = PlanRun.objects.get()
    assert (run.day, run.state, run.asked_by) == (day, PlanRun.State.ASKED, None)
    row = sign_up(day.pk, application(), now=NOW)
    places.confirm(row.pk, now=NOW)
    assert PlanRun.objects.count() == 1, "the request that waits will see both"
    PlanRun.objects.update(state=PlanRun.State.RUNNING)
    places.withdraw(row.pk, now=NOW)
    assert PlanRun.objects.count() == 2


def test_nobody_withdraws_twice_or_after_the_start(day: Workday) -> None:
    row = make_sign_up(day)
    assert refused(places.withdraw, row, now=day.starts_at) == ["begun"]
    places.withdraw(row.pk, now=NOW)
    assert refused(places.withdraw, row) == ["withdrawn"]


def test_who_still_comes_after_a_move_closes_the_question(day: Workday) -> None:
    row = make_sign_up(day, question_open=True)
    places.keep(row.pk, now=NOW)
    row.refresh_from_db()
    assert not row.question_open
    assert AuditEntry.objects.get().verb == "still comes"
    assert refused(places.keep, make_sign_up(day, state=State.WITHDRAWN)) == ["no-question"]


def test_somebody_without_a_mailbox_can_be_offered_a_place(day: Workday) -> None:
    waits = make_sign_up(day, make_person(email=""), state=State.WAITING)
    sweeping.lapse_due(NOW)
    assert state(waits) == State.OFFERED
    assert not SentMessage.objects.exists()
