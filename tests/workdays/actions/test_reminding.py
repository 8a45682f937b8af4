"""One press reminds everybody who has not signed, once."""

from datetime import timedelta

import pytest

from coordinator.models import AuditEntry, Person, SentMessage
from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW, START
from workdays.actions.reminding import remind
from workdays.models import SignUp, Workday

pytestmark = pytest.mark.django_db


@pytest.fixture
def day() -> Workday:
    """Make a day with one who signed, one who did not, a stranger, and one without a mailbox."""
    made = factories.make_day()
    factories.sign(factories.make_sign_up(made).person)
    factories.make_sign_up(made, factories.make_person(email="known@volunteers.example"))
    stranger = factories.make_person(email="new@volunteers.example", confirmed_at=None)
    factories.make_sign_up(made, stranger, state=SignUp.State.UNCONFIRMED)
    factories.make_sign_up(made, factories.make_person(email=""))
    return made


def test_whoever_has_not_signed_gets_one_mail_with_their_own_link(
    day: Workday, ruth: Person
) -> None:
    assert remind(day.pk, by=ruth, now=NOW) == (2, 1)
    known, stranger = SentMessage.objects.order_by("to_address")
    assert known.person is not None
    assert known.person.secret in known.text
    assert "say yes" in stranger.text


def test_a_second_press_sends_nothing_until_half_a_day_later(day: Workday, ruth: Person) -> None:
    remind(day.pk, by=ruth, now=NOW)
    AuditEntry.objects.filter(verb="reminded").update(at=NOW)
    with pytest.raises(Refused, match="nothing was sent now"):
        remind(day.pk, by=ruth, now=NOW + timedelta(seconds=2))
    assert SentMessage.objects.count() == 2
    remind(day.pk, by=ruth, now=NOW + timedelta(hours=12))
    assert SentMessage.objects.count() == 4


def test_nobody_is_reminded_of_a_day_that_has_begun(day: Workday, ruth: Person) -> None:
    with pytest.raises(Refused, match="has begun"):
        remind(day.pk, by=ruth, now=START)
    assert not SentMessage.objects.exists()
