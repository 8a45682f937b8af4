"""How good a plan is for certain, in words."""

import pytest

from workdays.rules.closeness import closeness, lasted, percent_of_best


@pytest.mark.parametrize(
    ("value", "bound", "percent"),
    [
        (930, 1000, 93),
        (939, 1000, 93),
        (999, 1000, 99),
        (1000, 1000, 100),
        (1001, 1000, 100),
        (10, None, None),
        (0, 1000, None),
        (-5, 1000, None),
        (-5, -1, None),
    ],
)
def test_a_share_is_rounded_down_and_left_out_where_it_would_say_nothing(
    value: int, bound: int | None, percent: int | None
) -> None:
    assert percent_of_best(value, bound) == percent
    assert bool(closeness(value, bound)) == (percent is not None)


def test_how_good_a_plan_is_ends_a_sentence() -> None:
    assert closeness(930, 1000) == "at least 93 % of the best that any plan could be"
    assert closeness(1000, 1000) == "no plan can be better"


@pytest.mark.parametrize(
    ("seconds", "words"), [(0, "0 s"), (59, "59 s"), (125, "2 min 5 s"), (-3, "0 s")]
)
def test_time_is_said_in_minutes_and_seconds(seconds: int, words: str) -> None:
    assert lasted(seconds) == words
