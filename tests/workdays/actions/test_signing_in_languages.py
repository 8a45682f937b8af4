"""Every way of signing records all of the signature, and the very text that was read."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date

import pytest

from coordinator.refused import Refused
from tests import factories
from tests.factories import NOW
from tests.workdays.actions.test_gate import comer
from tests.workdays.applications import application
from tests.workdays.records import see_that_all_is_recorded
from workdays.actions import places
from workdays.actions.answering import answer
from workdays.actions.gate import Ward, walk_up
from workdays.actions.sign_ups import sign_up
from workdays.models import Signature, SignUp, Waiver, Workday
from workdays.queries.waivers import people_with_waiver
from workdays.rules.parties import Companion

pytestmark = pytest.mark.django_db
Way = Callable[[Workday, Waiver], None]
CHILD = Companion(1, "Bo Costa", "", date(2014, 6, 30), "mother", True, True)
BROTHER = Companion(2, "Rui Costa", email="rui@hollin.example")


def alone(day: Workday, text: Waiver) -> None:
    row = sign_up(day.pk, application(text_sha256=text.text_sha256), now=NOW)
    places.confirm(row.pk, now=NOW)


def with_a_child(day: Workday, text: Waiver) -> None:
    asked = application(text_sha256=text.text_sha256, companions=(CHILD,))
    places.confirm(sign_up(day.pk, asked, now=NOW).pk, now=NOW)


def as_one_named(day: Workday, text: Waiver) -> None:
    asked = application(text_sha256=text.text_sha256, companions=(BROTHER,))
    places.confirm(sign_up(day.pk, asked, now=NOW).pk, now=NOW)
    brother = SignUp.objects.get(person__name="Rui Costa")
    said = application(name="Rui Costa", email="", typed_name="Rui Costa")
    answer(brother.pk, replace(said, text_sha256=text.text_sha256), now=NOW)


def of_a_group(day: Workday, text: Waiver) -> None:
    group = factories.make_group(day, leader=factories.make_person(), reserved=2)
    asked = application(text_sha256=text.text_sha256)
    places.confirm(sign_up(day.pk, asked, now=NOW, group=group.secret).pk, now=NOW)


def known(day: Workday, text: Waiver) -> None:
    person = factories.make_person(name="Ana Costa")
    sign_up(day.pk, application(text_sha256=text.text_sha256), now=NOW, person=person)


def at_the_gate(day: Workday, text: Waiver) -> None:
    ruth = factories.make_staff()
    who = comer(text_sha256=text.text_sha256)
    row = walk_up(day.pk, who, by=ruth, organises=True, now=factories.START)
    ward = Ward(date(2014, 6, 30), row.person, "mother", True)
    child = comer(name="Bo Costa", text_sha256=text.text_sha256, press="two", ward=ward)
    walk_up(day.pk, child, by=ruth, organises=True, now=factories.START)


WAYS: dict[Way, dict[str, int]] = {
    alone: {"self": 1},
    with_a_child: {"self": 1, "guardian": 1, "minor": 1},
    as_one_named: {"self": 2},
    of_a_group: {"self": 1},
    known: {"self": 1},
    at_the_gate: {"self": 1, "guardian": 1, "minor": 1},
}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_what_is_signed_is_recorded_whole_as_it_was_read(way: Way, language: str) -> None:
    first = factories.make_waiver()
    texts = {"en": first, "es": factories.make_translation(first)}
    day = factories.make_day()
    way(day, texts[language])
    roles = [row.role for row in Signature.objects.all()]
    assert {role: roles.count(role) for role in set(roles)} == WAYS[way]
    for row in Signature.objects.all():
        see_that_all_is_recorded(row)
        assert row.language == language
        assert row.waiver == texts[language]
        assert people_with_waiver(day, [row.person_id])


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.__name__)
def test_a_text_of_elsewhere_or_of_an_older_version_is_not_signed(
    way: Way,
) -> None:
    older = factories.make_translation(factories.make_waiver(text="The old words."))
    elsewhere = factories.make_waiver(cemetery=factories.make_cemetery(), text="Of elsewhere.")
    factories.make_waiver(text="The new words.")
    for text in (older, elsewhere):
        with pytest.raises(Refused, match=r"as it stands now|once more"):
            way(factories.make_day(), text)
    assert not Signature.objects.exists()
