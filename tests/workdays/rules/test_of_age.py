"""The age of majority, by the table of the Legal Information Institute (second hand)."""

import pytest

from workdays.rules.of_age import (
    PARENTS_REJECTED,
    PARENTS_UPHELD,
    STATES,
    adult_age,
    age_words,
    parents_words,
)


def test_three_states_are_later_than_the_others() -> None:
    later = {state: adult_age(state) for state in STATES if adult_age(state) != 18}
    assert later == {"AL": 19, "NE": 19, "MS": 21}
    assert len(STATES) == 51


@pytest.mark.parametrize("unknown", ["", "al", "Alabama", "ZZ"])
def test_an_unknown_state_counts_as_the_strictest(unknown: str) -> None:
    assert adult_age(unknown) == 21
    assert "no state is given" in age_words(unknown)


def test_the_organiser_reads_the_age_with_its_place_and_source() -> None:
    assert age_words("NE").startswith("19 in Nebraska (Legal Information Institute")
    assert "lawyer" in age_words("NE")


def test_what_courts_make_of_a_parents_signature_is_information_with_its_source() -> None:
    assert len(PARENTS_UPHELD) == 12
    assert len(PARENTS_REJECTED) == 14
    assert not PARENTS_UPHELD & PARENTS_REJECTED
    assert set(STATES) >= PARENTS_UPHELD | PARENTS_REJECTED
    assert "courts of Ohio upheld it in some cases" in parents_words("OH")
    assert "courts of Michigan regularly reject it" in parents_words("MI")
    assert "not known here" in parents_words("VT")
    assert all("lawyer" in parents_words(state) for state in (*STATES, ""))
