"""Countersigns and sign-offs: who may, what it leaves."""

from datetime import date

import pytest

from coordinator.refused import Refused
from tests import factories
from training.actions import countersign, revoke, sign_off
from training.models import HoursEntry, SignOff
from training.queries import standing_of, waiting_for_countersign
from training.rules.countersign import Word
from training.rules.standing import Level

pytestmark = pytest.mark.django_db
ON = date(2026, 5, 9)


def entry() -> HoursEntry:
    return HoursEntry.objects.create(
        person=factories.make_person(),
        skill=factories.skill("cleaning"),
        day_number=1,
        block_number=1,
        cemetery_number=7,
        place="Alder Hill",
        on=ON,
        minutes=120,
    )


def test_a_supervisor_of_the_skill_countersigns() -> None:
    row, judge = entry(), factories.make_person()
    factories.sign_off(judge, "cleaning", "supervisor")
    countersign(row, Word("confirmed", 120), by=judge)
    assert not waiting_for_countersign().exists()


@pytest.mark.parametrize(
    ("word", "sentence"),
    [
        (Word("confirmed", 150), "at most 2 hours"),
        (Word("confirmed", 90), "corrected"),
        (Word("confirmed", 120, 100), "Confirmed means as proposed"),
        (Word("refused", 15, 0, "no"), "count no minutes"),
        (Word("corrected", 60), "Say in a few words why"),
    ],
)
def test_a_word_that_cannot_be_is_refused(word: Word, sentence: str) -> None:
    row, judge = entry(), factories.make_person()
    factories.sign_off(judge, "cleaning", "supervisor")
    with pytest.raises(Refused, match=sentence):
        countersign(row, word, by=judge)
    assert waiting_for_countersign().exists()


def test_who_is_only_signed_off_or_signs_for_themselves_is_refused() -> None:
    row, judge = entry(), factories.make_person()
    factories.sign_off(judge, "cleaning")
    with pytest.raises(Refused, match="Only a supervisor"):
        countersign(row, Word("confirmed", 120), by=judge)
    factories.sign_off(row.person, "cleaning", "supervisor")
    with pytest.raises(Refused, match="themselves"):
        countersign(row, Word("confirmed", 120), by=row.person)


def test_a_sign_off_holds_from_its_date_until_it_is_revoked() -> None:
    judge, person = factories.make_person(), factories.make_person()
    factories.sign_off(judge, "resetting", "supervisor")
    skill = factories.skill("resetting")
    given = sign_off(person, skill, SignOff.Level.SIGNED_OFF, by=judge, on=ON)

    def level(on: date) -> Level:
        return standing_of([person.pk], cemetery_number=7, on=on)[person.pk]["resetting"]

    assert level(ON) is Level.SIGNED_OFF
    for _ in range(2):
        revoke(given, by=judge, on=date(2026, 6, 1), why="moved on")
    assert level(date(2026, 6, 1)) is Level.NEW
    assert level(ON) is Level.SIGNED_OFF


def test_a_supervisor_of_one_place_gives_no_sign_off_for_all() -> None:
    judge, person = factories.make_person(), factories.make_person()
    factories.sign_off(judge, "resetting", "supervisor", cemetery_numbers=[7])
    skill = factories.skill("resetting")
    sign_off(person, skill, SignOff.Level.SIGNED_OFF, by=judge, on=ON, cemetery_numbers=[7])
    with pytest.raises(Refused):
        sign_off(person, skill, SignOff.Level.SIGNED_OFF, by=judge, on=ON)
