from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

import pytest

from workdays.rules.units import (
    exact,
    fahrenheit,
    fahrenheit_difference,
    in_unit,
    inches,
    miles,
    plain,
    pounds,
    rounded,
)


def test_numbers_are_taken_as_written() -> None:
    assert exact(4.4) == exact(Decimal("4.4")) == Fraction(44, 10)
    assert exact(Fraction(40, 9)) == Fraction(40, 9)


def test_fixed_points_of_the_scales() -> None:
    assert [fahrenheit(c) for c in (-40, 0, 100)] == [-40, 32, 212]
    assert fahrenheit(Fraction(40, 9)) == 40
    assert fahrenheit_difference(2) == Fraction(18, 5)


def test_lengths_and_weights() -> None:
    assert miles(Decimal("160.9344")) == 100
    assert inches(Decimal("254")) == 100
    assert pounds(Decimal("45.359237")) == 100


def test_a_limit_gets_values_in_its_own_unit() -> None:
    assert in_unit(0, "F") == 32
    assert in_unit(Decimal("32.18688"), "mph") == 20
    assert in_unit(7, "C") == 7


@pytest.mark.parametrize(
    ("number", "whole"), [(92.49, 92), (92.5, 93), (-0.5, 0), (-0.51, -1), (79.58, 80)]
)
def test_halves_round_up(number: float, whole: int) -> None:
    assert rounded(number) == whole


@pytest.mark.parametrize(
    ("number", "words"),
    [(Decimal("40.00"), "40"), (4.44, "4.4"), (-0.5, "-0.5"), (-2, "-2"), (39.96, "40")],
)
def test_numbers_are_shown_without_needless_places(number: float, words: str) -> None:
    assert plain(number) == words
