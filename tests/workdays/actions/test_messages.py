"""What an organiser writes goes once to each mailbox of the part that was looked at."""

from datetime import timedelta
from uuid import UUID

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from workdays.actions.messages import Draft, send_message
from workdays.models import DayMessage, MessageTo, SignUp, Workday
from workdays.queries.messages import audience_of_day

pytestmark = pytest.mark.django_db
COSTA = "costa@volunteers.example"


@pytest.fixture
def day() -> Workday:
    """Make a day with a mother, her son and her child of one mailbox, and one without any."""
    made = factories.make_day()
    ana = factories.make_person(name="Ana Costa", email=COSTA)
    factories.make_sign_up(made, ana)
    factories.make_sign_up(made, factories.make_person(name="Rui Costa", email=COSTA))
    child = factories.make_person(name="Cy Costa", email="", is_adult=False)
    factories.make_sign_up(made, child, guardian=ana)
    factories.make_sign_up(made, factories.make_person(name="Bo Lund", email=""))
    return made


def draft(day: Workday, part: str = "everybody", press: int = 1, **changed: str) -> Draft:
    words = {"subject": "The gate", "text": "Come in by the lower gate."} | changed
    seen = audience_of_day(day, part).reach.seen
    return Draft(part=part, sign_ups=[], seen=seen, press=UUID(int=press), **words)


def test_one_mail_goes_to_a_family_and_who_has_no_mailbox_is_named(
    day: Workday, ruth: Person
) -> None:
    sent = send_message(day.pk, draft(day), by=ruth, now=NOW)
    assert (sent.mails, sent.to_ring) == (1, 1)
    mail = SentMessage.objects.get()
    assert "Come in by the lower gate." in mail.text
    assert "you are on the list" in mail.text
    for name in ("Ana Costa", "Rui Costa"):
        assert Person.objects.get(name=name).secret in mail.text
    assert MessageTo.objects.filter(mail=mail).count() == 3
    assert MessageTo.objects.get(mail=None).person.name == "Bo Lund"
    entry = AuditEntry.objects.get(verb="wrote to people")
    assert entry.detail == {
        "message": sent.message.pk,
        "mails": 1,
        "to_ring": 1,
        "part": "everybody",
    }


def test_guardians_of_minors_are_written_to_as_such(day: Workday, ruth: Person) -> None:
    send_message(day.pk, draft(day, "guardians"), by=ruth, now=NOW)
    assert MessageTo.objects.get().person.name == "Ana Costa"
    assert "a child of yours is on the list" in SentMessage.objects.get().text


def test_a_second_press_or_the_same_words_at_once_send_nothing(day: Workday, ruth: Person) -> None:
    first = send_message(day.pk, draft(day), by=ruth, now=NOW)
    soon, later = NOW + timedelta(seconds=3), NOW + timedelta(hours=1)
    for again in (draft(day), draft(day, press=2)):
        repeated = send_message(day.pk, again, by=ruth, now=soon)
        assert (repeated.repeated, repeated.message, repeated.mails) == (True, first.message, 1)
    assert SentMessage.objects.count() == 1
    assert not send_message(day.pk, draft(day, press=3), by=ruth, now=later).repeated
    assert not send_message(day.pk, draft(day, press=4, text="New."), by=ruth, now=later).repeated
    assert DayMessage.objects.count() == 3


def test_it_is_refused_when_somebody_has_left_since_the_preview(day: Workday, ruth: Person) -> None:
    seen = draft(day)
    SignUp.objects.filter(person__name="Rui Costa").update(state=SignUp.State.WITHDRAWN)
    with pytest.raises(Refused, match="has changed since you looked"):
        send_message(day.pk, seen, by=ruth, now=NOW)
    assert not SentMessage.objects.exists()
    assert not DayMessage.objects.exists()


def test_parts_are_those_of_the_list(day: Workday, ruth: Person) -> None:
    signed = factories.make_person(name="Mo Ray", email="mo@volunteers.example")
    factories.make_sign_up(day, signed, brings={"bucket": 2})
    factories.sign(signed)
    factories.sign_off(signed, "cleaning")

    def names(part: str) -> set[str]:
        return {one for mail in audience_of_day(day, part).mails for one in mail.names.split(", ")}

    family = {"Ana Costa", "Rui Costa", "Cy Costa by Ana Costa"}
    assert names("unsigned") == family
    assert names("minors") == {"Cy Costa by Ana Costa"}
    for part in ("level-cleaning-3", "level-cleaning-1", "brings-bucket"):
        assert names(part) == {"Mo Ray"}
    for nobody in ("level-cleaning-4", "level-cleaning-\u00b2", "brings-", "party-0", "x", ""):
        assert names(nobody) == set()
    assert names("everybody") == family | {"Mo Ray"}


def test_who_has_not_answered_gets_the_link_that_asks(day: Workday, ruth: Person) -> None:
    stranger = factories.make_person(name="New One", confirmed_at=None)
    factories.make_sign_up(day, stranger, state=SignUp.State.UNCONFIRMED)
    send_message(day.pk, draft(day), by=ruth, now=NOW)
    text = SentMessage.objects.get(person=stranger).text
    assert "has not said yes" in text
    assert stranger.secret not in text
    assert "New One" not in text
