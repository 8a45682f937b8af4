"""A text is published once, for ever; what was signed before holds as it said."""

import hashlib

import pytest
from django.db import IntegrityError

from coordinator.models import AuditEntry, Person
from coordinator.refused import Refused
from tests import factories
from workdays.actions.waivers import add_language, publish_waiver
from workdays.models import Waiver
from workdays.queries.waivers import (
    current_waiver,
    people_with_waiver,
    people_with_waiver_by_day,
    to_sign,
)
from workdays.rules.publishing import OtherText, WaiverText

pytestmark = pytest.mark.django_db
NOW = factories.NOW
WORDS = "Stones are heavy and tools are sharp. I listen to the supervisor and lift nothing alone. "
NEW = WaiverText("What you agree to", WORDS, Waiver.Validity.NEW_VERSION)
SPANISH = OtherText(
    "Lo que acepta",
    "Las piedras pesan y las herramientas cortan. Escucho al supervisor y no levanto nada solo.",
    "es",
)


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


def test_a_version_is_read_and_signed_in_any_of_its_languages(ruth: Person) -> None:
    first, day = publish_waiver(None, NEW, by=ruth, now=NOW), factories.make_day()
    spanish = add_language(first, SPANISH, by=ruth, now=NOW)
    assert (spanish.version, spanish.validity) == (first.version, first.validity)
    assert current_waiver(day.cemetery) == first
    entry = AuditEntry.objects.get(verb="added a language")
    assert (entry.detail["language"], entry.detail["sha256"]) == ("es", spanish.text_sha256)
    ana, bo = factories.make_person(), factories.make_person()
    factories.sign(ana, spanish)
    factories.sign(bo, first)
    both = {ana.pk, bo.pk}
    assert people_with_waiver(day, both) == both
    assert people_with_waiver_by_day({day: both}) == {day.pk: both}
    publish_waiver(None, WaiverText("New", WORDS * 2, "version"), by=ruth, now=NOW)
    assert not people_with_waiver(day, both)


@pytest.mark.parametrize(
    ("asked", "language"),
    [
        ({}, "en"),
        ({"language": "es"}, "es"),
        ({"language": "tlh"}, "en"),
        ({"language": "es", "sha256": "english"}, "en"),
        ({"read_in": "es", "sha256": "english"}, "es"),
        ({"language": "es", "sha256": "of another text"}, "es"),
    ],
)
def test_the_text_shown_is_the_one_asked_for_or_the_one_that_was_before_the_reader(
    ruth: Person, asked: dict[str, str], language: str
) -> None:
    first = publish_waiver(None, NEW, by=ruth, now=NOW)
    add_language(first, SPANISH, by=ruth, now=NOW)
    if asked.get("sha256") == "english":
        asked = asked | {"sha256": first.text_sha256}
    shown = to_sign(None, **asked)
    assert shown is not None
    assert shown.waiver.language == language
    assert [(one.name, one.is_shown) for one in shown.languages] == [
        ("English", language == "en"),
        ("Español", language == "es"),
    ]


def test_of_a_version_signed_no_longer_and_of_what_it_has_nothing_is_added(ruth: Person) -> None:
    old = publish_waiver(None, NEW, by=ruth, now=NOW)
    spanish = add_language(old, SPANISH, by=ruth, now=NOW)
    for first, text, said in (
        (old, SPANISH, "has that language"),
        (old, OtherText("x", "y", "de"), "at least 80 letters"),
        (old, OtherText("x", WORDS, "de"), "word for word"),
        (spanish, OtherText("x", WORDS * 2, "de"), "signed no longer"),
    ):
        with pytest.raises(Refused, match=said):
            add_language(first, text, by=ruth, now=NOW)
    publish_waiver(None, WaiverText("New", WORDS * 2, "season", "es"), by=ruth, now=NOW)
    with pytest.raises(Refused, match="Version 1 is signed no longer"):
        add_language(old, OtherText("x", WORDS * 3, "de"), by=ruth, now=NOW)


def test_a_version_has_one_first_text(ruth: Person) -> None:
    first = factories.make_waiver(version=1)
    with pytest.raises(IntegrityError):
        factories.make_waiver(version=first.version, language="es")
