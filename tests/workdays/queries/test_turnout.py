"""Who missed earlier days."""

from datetime import date, timedelta

import pytest

from tests import factories
from tests.factories import START
from workdays.models import RollEntry, SignUp, Workday
from workdays.queries.turnout import missed, waivers_in_words

pytestmark = pytest.mark.django_db
CLOSED = Workday.State.CLOSED


def test_a_day_is_missed_only_when_it_is_closed_and_the_roll_lacks_somebody() -> None:
    day = factories.make_day()
    came, stayed, withdrew = (factories.make_person() for _ in range(3))
    for weeks in (1, 2):
        before = factories.make_day(
            day.cemetery, starts_at=START - timedelta(weeks=weeks), state=CLOSED
        )
        for person in (came, stayed):
            factories.make_sign_up(before, person)
        factories.make_sign_up(before, withdrew, state=SignUp.State.WITHDRAWN)
        RollEntry.objects.create(day=before, person=came, arrived_at=before.starts_at)
    still_open = factories.make_day(day.cemetery, starts_at=START - timedelta(days=1))
    factories.make_sign_up(still_open, came)
    found = missed(day, [came.pk, stayed.pk, withdrew.pk])
    assert set(found) == {stayed.pk}
    assert "2 May 2026" in found[stayed.pk]


def test_a_waiver_is_told_in_words_for_each() -> None:
    day = factories.make_day()
    signed, late, nothing = (factories.make_person() for _ in range(3))
    factories.sign(signed)
    factories.sign(late, valid_until=START.date() - timedelta(days=1))
    words = waivers_in_words(day, [signed.pk, late.pk, nothing.pk])
    assert [*words.values()] == ["signed", "runs out before the day", "missing"]


def test_a_child_who_came_of_age_signs_alone() -> None:
    day, waiver = factories.make_day(), factories.make_waiver(validity="version")
    bo = factories.make_person(is_adult=False, born_on=date(2008, 5, 9))
    factories.sign(
        bo, waiver, role="guardian", relation="mother", signed_by=factories.make_person()
    )
    assert waivers_in_words(day, [bo.pk]) == {bo.pk: "of age now: signs alone"}
