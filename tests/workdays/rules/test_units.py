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
    length_cm,
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


@pytest.mark.parametrize(
    ("written", "cm"),
    [
        ("61", 61),
        ("61.0", 61),
        ("61 cm", 61),
        ("61cm.", 61),
        ("61,5 cm", Fraction(615, 10)),
        (".5 m", 50),
        ("610 mm", 61),
        ("0.61 m", 61),
        ("24 in", Fraction(6096, 100)),
        ("24 IN.", Fraction(6096, 100)),
        ('24"', Fraction(6096, 100)),
        ("24\u2033", Fraction(6096, 100)),
        ("24\u201d", Fraction(6096, 100)),
        ("2 ft", Fraction(6096, 100)),
        ("2'", Fraction(6096, 100)),
        ("2\u2019", Fraction(6096, 100)),
        ("2 feet 3 inches", Fraction(6858, 100)),
        ("2'3\"", Fraction(6858, 100)),
        ("2' 3 1/2\"", Fraction(6985, 100)),
        ("2 ft 3", Fraction(6858, 100)),
        ("24 1/2 in", Fraction(6223, 100)),
        ("24\u00bd in", Fraction(6223, 100)),
        ("1/2 in", Fraction(127, 100)),
        ('3/8"', Fraction(9525, 10000)),
        (" 0 ", 0),
    ],
)
def test_a_length_is_read_as_people_write_it(written: str, cm: Fraction) -> None:
    assert length_cm(written) == cm


def test_a_bare_number_is_in_the_unit_of_its_column() -> None:
    assert length_cm("24", "in") == length_cm("2", "ft") == length_cm("24 in", "cm")


@pytest.mark.parametrize(
    "written",
    [
        *(
            "",
            " ",
            "tall",
            "24 furlongs",
            "-3",
            "1,200",
            "1e3",
            "nan",
            "inf",
            "1/0 in",
            "4 cm 3 in",
        ),
        *(
            "2 in 3 in",
            "2 ft 3 cm",
            "2 ft 3 in 4 in",
            "1 2 3",
            "9" * 5000,
            "٣ cm",
            "24 in x",
            "3-4",
        ),
        *("~24 in", "2 ft 3 ft", "1/2/3", "24 in in", "='2'", "1.2.3", "12 cm?", "¹ in"),
    ],
)
def test_what_is_no_length_gets_a_sentence(written: str) -> None:
    with pytest.raises(ValueError, match=r"^[A-Z“].*\.$"):
        length_cm(written)
