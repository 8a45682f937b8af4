"""The life of a calendar entry: one UID for ever, SEQUENCE rises only where RFC 5546 says so.

Read here by vobject, which shares no code with the library that writes.
"""

from datetime import datetime, timedelta
from typing import Any

import pytest
import vobject

from coordinator.models import SentMessage
from tests.factories import NOW, make_cemetery, make_day, make_person, make_sign_up
from workdays import invites
from workdays.models import Block, Crew, CrewPlan, Invite, Placement, SignUp, Workday

pytestmark = pytest.mark.django_db
BOX = "costa@hollin.example"


@pytest.fixture
def day() -> Workday:
    return make_day(make_cemetery(name="Alder Hill"))


def person(name: str = "Ana Costa", **overrides: Any) -> Any:
    return make_person(**({"name": name, "email": BOX} | overrides))


def sent() -> list[SentMessage]:
    return list(SentMessage.objects.order_by("pk"))


def event(message: SentMessage) -> Any:
    assert message.calendar is not None
    return vobject.readOne(bytes(message.calendar).decode())


def method_and_sequence(message: SentMessage) -> tuple[str, int]:
    calendar = event(message)
    assert calendar.method.value == message.calendar_method
    sequence = calendar.vevent.contents.get("sequence")
    return calendar.method.value, int(sequence[0].value) if sequence else 0


def life() -> list[tuple[str, int]]:
    return [method_and_sequence(message) for message in sent()]


def move(day: Workday, days: int = 1) -> None:
    day.starts_at += timedelta(days=days)
    day.ends_at += timedelta(days=days)
    day.save()


def test_a_confirmed_place_is_a_request_already_accepted(day: Workday) -> None:
    make_sign_up(day, person())
    message = invites.invite(day, BOX, now=NOW)
    assert message is not None
    assert message.to_address == BOX
    calendar = event(message)
    attendee = calendar.vevent.attendee
    assert attendee.value == f"mailto:{BOX}"
    assert attendee.params["PARTSTAT"] == ["ACCEPTED"]
    assert attendee.params["RSVP"] == ["FALSE"]
    assert calendar.vevent.uid.value == str(Invite.objects.get().uid)
    assert calendar.vevent.summary.value == "Workday at Alder Hill"
    assert calendar.vevent.location.value.startswith("At the gate on Quarry Road, Alder Hill, 12")
    assert "Ana Costa is coming." in calendar.vevent.description.value
    assert life() == [("REQUEST", 0)]


def test_the_calendar_entry_holds_no_secret_link(day: Workday) -> None:
    row = make_sign_up(day, person())
    message = invites.invite(day, BOX, now=NOW)
    assert message is not None
    assert message.calendar is not None
    assert row.person.secret in message.text
    assert row.person.secret.encode() not in bytes(message.calendar).replace(b"\r\n ", b"")


def test_nothing_is_sent_twice(day: Workday) -> None:
    make_sign_up(day, person())
    for _ in range(3):
        invites.invite(day, BOX, now=NOW)
    invites.invite_all(day, now=NOW, rescheduled=False)
    assert life() == [("REQUEST", 0)]


def test_who_has_no_place_gets_nothing(day: Workday) -> None:
    for state in (SignUp.State.UNCONFIRMED, SignUp.State.WAITING, SignUp.State.OFFERED):
        make_sign_up(day, person(), state=state)
    invites.invite(day, BOX, now=NOW)
    invites.invite_all(day, now=NOW, rescheduled=True)
    assert sent() == []


def test_a_family_has_one_entry_with_its_names(day: Workday) -> None:
    first = make_sign_up(day, person("Ana Costa"))
    invites.invite(day, BOX, now=NOW)
    second = make_sign_up(day, person("Li Costa", email=BOX.upper()))
    invites.invite(day, BOX.upper(), now=NOW)
    assert Invite.objects.count() == 1
    assert life() == [("REQUEST", 0), ("REQUEST", 0)]
    assert "Li Costa is coming" in event(sent()[1]).vevent.description.value
    first.state = SignUp.State.WITHDRAWN
    first.save()
    invites.invite(day, BOX, now=NOW)
    assert "Ana Costa" not in event(sent()[2]).vevent.description.value
    second.state = SignUp.State.WITHDRAWN
    second.save()
    invites.invite(day, BOX, now=NOW)
    assert life()[2:] == [("REQUEST", 0), ("CANCEL", 1)]
    assert event(sent()[3]).vevent.status.value == "CANCELLED"


def test_words_keep_the_sequence_and_time_or_place_raises_it(day: Workday) -> None:
    row = make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    day.bring = "a hat"
    day.save()
    invites.invite_all(day, now=NOW, rescheduled=False)
    day.meeting_point = "At the chapel"
    day.save()
    invites.invite_all(day, now=NOW, rescheduled=False)
    row.refresh_from_db()
    assert not row.question_open, "no new date, so nothing to answer on the own page"
    assert life() == [("REQUEST", 0), ("REQUEST", 0), ("REQUEST", 1)]
    assert event(sent()[2]).vevent.attendee.params["PARTSTAT"] == ["NEEDS-ACTION"]
    assert "do you still come" not in sent()[2].text
    assert {event(message).vevent.uid.value for message in sent()} == {
        str(Invite.objects.get().uid)
    }


def test_a_move_asks_again_and_an_answer_is_not_asked_for_twice(day: Workday) -> None:
    row = make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    move(day)
    invites.invite_all(day, now=NOW, rescheduled=True)
    row.refresh_from_db()
    assert row.question_open
    message = sent()[1]
    moved = event(message).vevent
    assert moved.attendee.params["PARTSTAT"] == ["NEEDS-ACTION"]
    assert moved.attendee.params["RSVP"] == ["TRUE"]
    assert moved.dtstart.value == datetime.fromisoformat("2026-05-10T09:00:00-04:00")
    assert message.subject == "Moved: Sunday 10 May at Alder Hill"
    assert Invite.objects.get().rescheduled_sequence == 1
    row.question_open = False
    row.save()
    invites.invite_all(day, now=NOW, rescheduled=True)
    row.refresh_from_db()
    assert not row.question_open
    assert life() == [("REQUEST", 0), ("REQUEST", 1)]


def test_a_move_also_opens_the_question_for_who_has_no_mailbox(day: Workday) -> None:
    row = make_sign_up(day, make_person(email=""))
    move(day)
    invites.invite_all(day, now=NOW, rescheduled=True)
    row.refresh_from_db()
    assert row.question_open
    assert sent() == []


def test_calling_off_cancels_for_whoever_had_an_entry_and_for_nobody_else(day: Workday) -> None:
    make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    make_sign_up(day, person("Bo", email="bo@hollin.example"))
    day.state = Workday.State.CALLED_OFF
    day.save()
    for _ in range(2):
        invites.cancel_all(day, reason="Thunder from noon.", now=NOW)
        invites.invite_all(day, now=NOW, rescheduled=False)
    assert life() == [("REQUEST", 0), ("CANCEL", 1)]
    message = sent()[1]
    cancelled = event(message).vevent
    assert cancelled.status.value == "CANCELLED"
    assert cancelled.comment.value == "Thunder from noon."
    assert message.subject == "Called off: Saturday 9 May at Alder Hill"
    assert "Thunder from noon." in message.text


def test_words_differ_between_withdrawn_and_called_off(day: Workday) -> None:
    row = make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    row.state = SignUp.State.WITHDRAWN
    row.save()
    message = invites.invite(day, BOX, now=NOW)
    assert message is not None
    assert "called off" not in message.text
    assert "You have withdrawn" in message.text


def test_somebody_who_comes_back_gets_the_same_entry_with_a_higher_sequence(day: Workday) -> None:
    row = make_sign_up(day, person())
    for state in (SignUp.State.COMING, SignUp.State.WITHDRAWN, SignUp.State.COMING):
        row.state = state
        row.save()
        invites.invite(day, BOX, now=NOW)
    assert life() == [("REQUEST", 0), ("CANCEL", 1), ("REQUEST", 2)]
    assert Invite.objects.count() == 1


def test_later_messages_hang_on_the_first(day: Workday) -> None:
    make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    move(day)
    invites.invite_all(day, now=NOW, rescheduled=True)
    move(day)
    invites.invite_all(day, now=NOW, rescheduled=True)
    first, second, third = sent()
    assert first.references == ""
    assert second.references == first.message_id
    assert third.references == f"{first.message_id} {second.message_id}"
    assert len({message.thread for message in sent()}) == 1


def test_published_crews_are_new_words(day: Workday) -> None:
    row = make_sign_up(day, person())
    invites.invite(day, BOX, now=NOW)
    plan = CrewPlan.objects.create(day=day, state=CrewPlan.State.PUBLISHED)
    block = Block.objects.filter(day=day).first()
    assert block is not None
    crew = Crew.objects.create(plan=plan, block=block, name="Crew 2", lead=make_person(name="Ben"))
    Placement.objects.create(crew=crew, person=row.person)
    invites.invite_all(day, now=NOW, rescheduled=False)
    assert life() == [("REQUEST", 0), ("REQUEST", 0)]
    words = event(sent()[1]).vevent.description.value
    assert "Ana Costa, morning: Crew 2, led by Ben." in words


def test_a_hostile_name_breaks_neither_mail_nor_calendar(day: Workday) -> None:
    name = 'Ana; "C,o\\s^ta" <b>\u2028'
    make_sign_up(day, person(name))
    message = invites.invite(day, BOX, now=NOW)
    assert message is not None
    assert "<b>" not in message.html
    assert event(message).vevent.attendee.value == f"mailto:{BOX}"
