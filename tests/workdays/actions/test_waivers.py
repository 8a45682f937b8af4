"""A text is published once, for ever; what was signed before holds as it said."""

import hashlib

import pytest

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from workdays.actions.waivers import publish_waiver
from workdays.models import Waiver
from workdays.queries.waivers import current_waiver, people_with_waiver
from workdays.rules.publishing import WaiverText

pytestmark = pytest.mark.django_db
NOW = factories.NOW
WORDS = "Stones are heavy and tools are sharp. I listen to the supervisor and lift nothing alone. "
NEW = WaiverText("What you agree to", WORDS, Waiver.Validity.NEW_VERSION)


def test_a_published_text_is_signed_everywhere_from_now_on(ruth: Person) -> None:
    old, day = factories.make_waiver(), factories.make_day()
    made = publish_waiver(None, NEW, by=ruth, now=NOW)
    assert made.version == old.version + 1
    assert made.text_sha256 == hashlib.sha256(WORDS.encode()).hexdigest()
    assert current_waiver(day.cemetery) == made
    entry = AuditEntry.objects.get(verb="published")
    assert (entry.actor, entry.detail["sha256"]) == (ruth, made.text_sha256)


@pytest.mark.parametrize(("validity", "holds"), [("version", False), ("season", True)])
def test_a_signature_holds_as_long_as_its_version_said(
    ruth: Person, validity: str, holds: bool
) -> None:
    old, day, ana = (
        factories.make_waiver(validity=validity),
        factories.make_day(),
        factories.make_person(),
    )
    factories.sign(ana, old)
    assert people_with_waiver(day, [ana.pk]) == {ana.pk}
    publish_waiver(None, NEW, by=ruth, now=NOW)
    assert people_with_waiver(day, [ana.pk]) == ({ana.pk} if holds else frozenset())


def test_a_place_with_a_text_of_its_own_asks_for_that(ruth: Person) -> None:
    general, here, there = factories.make_waiver(), factories.make_day(), factories.make_day()
    made = publish_waiver(here.cemetery, NEW, by=ruth, now=NOW)
    assert made.version == 1
    assert current_waiver(here.cemetery) == made
    assert current_waiver(there.cemetery) == general


def test_the_same_text_is_not_published_twice(ruth: Person) -> None:
    publish_waiver(None, NEW, by=ruth, now=NOW)
    with pytest.raises(Refused, match="Version 1 says just this"):
        publish_waiver(None, NEW, by=ruth, now=NOW)
    assert Waiver.objects.count() == 1
    longer = WaiverText(NEW.title, NEW.text, Waiver.Validity.DAY)
    assert publish_waiver(None, longer, by=ruth, now=NOW).version == 2


def test_a_text_that_says_nothing_is_refused(ruth: Person) -> None:
    with pytest.raises(Refused, match="at least 80 letters"):
        publish_waiver(None, WaiverText("Waiver", "I agree.", "day"), by=ruth, now=NOW)


def test_of_two_at_once_the_second_is_told(ruth: Person, monkeypatch: pytest.MonkeyPatch) -> None:
    factories.make_waiver(version=1)
    monkeypatch.setattr(
        "django.db.models.query.QuerySet.aggregate", lambda *_args, **_kwargs: {"last": 0}
    )
    with pytest.raises(Refused, match="Somebody else published"):
        publish_waiver(None, NEW, by=ruth, now=NOW)
    assert Waiver.objects.count() == 1
