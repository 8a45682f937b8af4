"""How the work of a run is divided."""

import pytest

from workdays.planner.stages import BY_CLOCK, BY_TRIES, ONE_SEARCH, Stage, place_of, width


@pytest.mark.parametrize("stages", [ONE_SEARCH, BY_CLOCK, BY_TRIES])
def test_every_search_of_every_stage_has_its_turn_and_is_cooled_down(
    stages: tuple[Stage, ...],
) -> None:
    times = [3] * len(stages)
    places = [place_of(stages, times, step / 1000) for step in range(1001)]
    turns = [place[:2] for place in places]
    assert turns == sorted(turns)
    asked = {(i, turn) for i, one in enumerate(stages) for turn in range(1 if one.join else 3)}
    assert set(turns) == asked
    for turn in asked:
        cooled = [place.cooled for place in places if place[:2] == turn]
        assert cooled == sorted(cooled)
        assert cooled[-1] - cooled[0] > 0.4
    assert sum(width(stages, i) for i in range(len(stages))) == pytest.approx(1)
