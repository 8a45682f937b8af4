from __future__ import annotations

from dataclasses import replace
from datetime import date, time

from workdays.rules.leave import PermissionFacts
from workdays.rules.terms import (
    TRAINING,
    ProbingSetting,
    Terms,
    probing_sentence,
    term_sentences,
    terms_on,
)

DAY = date(2026, 5, 9)
LEAVE = PermissionFacts(frozenset({"cleaning"}), date(2026, 4, 1), date(2026, 10, 31))
NOON = (time(12), time(13, 30))
RESETTING = replace(
    LEAVE,
    kinds=frozenset({"resetting"}),
    no_probing=True,
    training_demanded=True,
    quiet=NOON,
    words="Keep the drive free.",
)
BARRED = ProbingSetting(allowed=False, source="two states")
ALLOWED = ProbingSetting(allowed=True, source="permit 7 of the state")


def test_terms_are_those_of_the_kinds_meant_and_no_probing_is_for_all() -> None:
    both = [LEAVE, RESETTING]
    assert terms_on(both, DAY, kinds={"cleaning"}) == Terms(no_probing=True)
    whole = Terms(
        no_probing=True, training_demanded=True, quiet=(NOON,), words=("Keep the drive free.",)
    )
    assert terms_on(both, DAY, kinds={"resetting", "raking"}) == whole
    assert terms_on([*both, RESETTING], DAY) == whole


def test_terms_out_of_force_bind_nobody() -> None:
    assert terms_on([RESETTING], date(2026, 11, 1)) == Terms()


def test_the_stricter_of_terms_and_setting_counts_for_probing() -> None:
    forbidden = "No probing for buried stones: the owner's permission forbids it."
    assert probing_sentence(Terms(no_probing=True), ALLOWED) == forbidden
    assert probing_sentence(Terms(), BARRED) == (
        "No probing for buried stones; a setting of this cemetery (two states)."
    )


def test_leave_to_probe_names_its_source_and_who_decides() -> None:
    said = probing_sentence(Terms(), ALLOWED)
    assert "permit 7 of the state" in said
    assert "local law, the owner's rules and licensed professionals decide" in said


def test_every_term_is_said_once_and_the_owners_words_come_last() -> None:
    said = term_sentences(terms_on([RESETTING], DAY), BARRED)
    assert said[1:] == [
        TRAINING,
        "Quiet hours of the owner, in which nobody works: 12:00 to 13:30.",
        "The owner's words: Keep the drive free.",
    ]
    assert len(term_sentences(Terms(), BARRED)) == 1
