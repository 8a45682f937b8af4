"""What a person changes behind the own link."""

from dataclasses import replace
from datetime import timedelta

import pytest

from coordinator.models import AuditEntry, SentMessage
from coordinator.refused import Refused
from tests.factories import NOW, make_day, make_person, make_sign_up
from workdays import invites
from workdays.actions.own import change, mark_seen, renew_link
from workdays.actions.sign_ups import Contact, Wishes
from workdays.models import CrewPlan, Invite, Notice, PlanRun, SignUp

pytestmark = pytest.mark.django_db
CONTACT = Contact("555-0199", "Kin Example", "555-0101")


def test_a_change_is_kept_and_written_down_without_what_was_said() -> None:
    row = make_sign_up(make_day())
    change(row.pk, CONTACT, Wishes(cannot_lift=True, words="bad knee"), now=NOW)
    row.refresh_from_db()
    assert (row.person.telephone, row.cannot_lift, row.words) == ("555-0199", True, "bad knee")
    entry = AuditEntry.objects.get(verb="changed")
    assert entry.detail["fields"] == ["cannot_lift", "telephone", "words"]
    assert "bad knee" not in str(entry.detail)


def test_other_hours_are_new_wording_of_the_calendar_entry() -> None:
    day = make_day()
    row = make_sign_up(day)
    invites.invite(day, row.person.email, now=NOW)
    leaves = day.starts_at + timedelta(hours=3)
    for _ in range(2):
        change(row.pk, CONTACT, Wishes(leaves_at=leaves), now=NOW)
    assert Invite.objects.get().sequence == 0
    assert SentMessage.objects.filter(calendar_method="REQUEST").count() == 2


@pytest.mark.parametrize("state", [SignUp.State.WITHDRAWN, SignUp.State.LAPSED])
def test_what_is_over_stays_as_it_is(state: str) -> None:
    row = make_sign_up(make_day(), state=state)
    with pytest.raises(Refused, match="no longer"):
        change(row.pk, CONTACT, Wishes(), now=NOW)


def test_after_the_start_nothing_is_changed() -> None:
    day = make_day()
    row = make_sign_up(day)
    change(row.pk, CONTACT, Wishes(), now=day.starts_at - timedelta(seconds=1))
    with pytest.raises(Refused, match="telephone"):
        change(row.pk, replace(CONTACT, telephone="555-0100"), Wishes(), now=day.starts_at)


def test_a_new_link_is_mailed_and_the_old_one_is_gone() -> None:
    person = make_person()
    old = person.secret
    assert renew_link(person)
    person.refresh_from_db()
    assert person.secret != old
    assert person.secret in SentMessage.objects.get().text
    assert "secret" not in str(AuditEntry.objects.get().detail)


def test_without_a_mailbox_the_new_link_is_not_mailed() -> None:
    assert not renew_link(make_person(email=""))
    assert not SentMessage.objects.exists()


def test_a_notice_is_seen_once() -> None:
    row = make_sign_up(make_day())
    notice = Notice.objects.create(day=row.day, person=row.person, reason="called off")
    mark_seen(notice, now=NOW)
    mark_seen(notice, now=NOW + timedelta(hours=1))
    notice.refresh_from_db()
    assert notice.seen_at == NOW
    assert AuditEntry.objects.count() == 1


def test_a_planned_day_is_planned_anew_for_what_somebody_brings() -> None:
    row = make_sign_up(make_day())
    CrewPlan.objects.create(day=row.day)
    change(row.pk, CONTACT, Wishes(brings={"bucket": 2}), now=NOW)
    assert PlanRun.objects.get().day == row.day


def test_a_planned_day_is_planned_anew_for_what_a_plan_rests_on_and_nothing_else() -> None:
    day = make_day()
    row = make_sign_up(day)
    CrewPlan.objects.create(day=day)
    change(row.pk, CONTACT, Wishes(words="I come by bus"), now=NOW)
    assert not PlanRun.objects.exists()
    change(row.pk, CONTACT, Wishes(words="I come by bus", cannot_lift=True), now=NOW)
    assert PlanRun.objects.get().day == day
