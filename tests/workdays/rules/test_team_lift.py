"""Health and Safety Executive (UK), L23, para 120: two people 2/3 of the sum, three 1/2. Worked
cases: 20 kg each, "around 26.6" for two (a rail body's safety page); 50 kg each, 66 for two and
75 for three (a training provider's page).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.team_lift import (
    FILTER,
    GROUND_KG,
    KNUCKLE_KG,
    capability_words,
    people_needed,
    team_capability,
)
from workdays.rules.units import exact


def test_the_published_case_of_two_people() -> None:
    assert int(team_capability(20, 2) * 10) / 10 == 26.6


def test_the_published_case_of_two_and_of_three() -> None:
    assert int(team_capability(50, 2)) == 66
    assert team_capability(50, 3) == 75
    assert team_capability(50, 1) == 50


@pytest.mark.parametrize("people", [0, 4, 5])
def test_no_factor_is_published_for_other_teams(people: int) -> None:
    with pytest.raises(ValueError, match="no factor"):
        team_capability(20, people)


def test_the_smallest_team_that_can_is_asked_for() -> None:
    assert [people_needed(kg, 16) for kg in (16, 21, 24)] == [1, 2, 3]
    assert people_needed(25, 16) is None


def test_values_from_memory_say_so_and_the_lower_ones_are_used() -> None:
    assert FILTER.from_memory
    assert (KNUCKLE_KG[0], GROUND_KG[0]) == (min(KNUCKLE_KG), min(GROUND_KG))
    assert "16 kg" in capability_words()
    assert "7 kg" in capability_words()


@given(st.floats(0.1, 100), st.floats(1, 200))
def test_a_team_lifts_less_than_the_sum_and_more_than_one_alone(each: float, load: float) -> None:
    assert each <= team_capability(each, 2) <= team_capability(each, 3) <= 3 * each
    found = people_needed(load, each)
    assert found is None or team_capability(each, found) >= exact(load)
