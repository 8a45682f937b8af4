"""NIOSH, Applications Manual for the Revised NIOSH Lifting Equation, publication 94-110, 1994,
revised 2021: examples 1 to 5 as in fixtures/published/lifting_examples.csv, whose column
"provenance" says which rows are from memory. Composite example (section 2.4.5, p. 28): from memory.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules import niosh
from workdays.rules.niosh import (
    FAIR,
    GOOD,
    LONG,
    METRIC,
    MODERATE,
    POOR,
    SHORT,
    US,
    Lift,
    Task,
    composite_index,
    duration_class,
    frequency_multiplier,
    lifting_index,
    mean_per_minute,
    reach_from_depth,
    recommended,
)

TABLE = Path(__file__).parents[3] / "fixtures" / "published" / "lifting_examples.csv"
TOLERANCE_LB = 0.4


def published() -> list[dict[str, str]]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


ROWS = published()
MANUAL = [row for row in ROWS if row["example"] != "T1"]
ORIGINS = {row["example"]: row["v_in"] for row in ROWS if row["end"] == "origin"}
NAMES = [f"{row['example']} {row['end']}" for row in ROWS]


def lift_of(row: dict[str, str]) -> Lift:
    return Lift(
        horizontal=int(row["h_in"]),
        vertical=int(row["v_in"]),
        travel=int(row["d_in"]),
        twist=int(row["a_deg"]),
        per_minute=Fraction(row["f_per_min"] or "0.2"),
        duration=SHORT,
        coupling=row["coupling"],
        origin=int(ORIGINS[row["example"]]),
    )


def places(number: Fraction) -> float:
    return int(number * 10 + Fraction(1, 2)) / 10


@pytest.mark.parametrize("row", ROWS, ids=NAMES)
def test_the_published_examples_come_out_within_their_rounding(row: dict[str, str]) -> None:
    found = float(recommended(lift_of(row)))
    assert found == pytest.approx(float(row["rwl_printed_lb"]), abs=TOLERANCE_LB)
    assert found == pytest.approx(float(row["rwl_full_precision_lb"]), abs=0.001)


@pytest.mark.parametrize("row", MANUAL, ids=NAMES[:-1])
def test_with_rounded_multipliers_every_printed_figure_comes_out(row: dict[str, str]) -> None:
    limit = recommended(lift_of(row), as_printed=True)
    index = lifting_index(int(row["load_lb"]), limit)
    assert float(limit) == pytest.approx(float(row["rwl_from_rounded_multipliers_lb"]), abs=0.001)
    assert places(limit) == float(row["rwl_printed_lb"])
    assert index is not None
    assert places(index) == float(row["li_printed"])


def test_the_third_party_prints_its_figure_cut_off() -> None:
    assert places(recommended(lift_of(ROWS[-1]), as_printed=True)) == 18.5


def test_nine_rows_are_of_the_manual_and_their_origin_is_told() -> None:
    assert len(MANUAL) == 9
    assert all("memory" in row["provenance"] for row in MANUAL)


BEST = Lift(10, 30, 10, coupling=GOOD)
BEST_METRIC = Lift(25, 75, 25, coupling=GOOD, units=METRIC)


def test_the_best_lift_is_the_load_constant_of_its_units() -> None:
    assert recommended(BEST) == 51
    assert recommended(BEST_METRIC) == 23
    assert recommended(replace(BEST, horizontal=3, travel=0)) == 51


@pytest.mark.parametrize(
    ("name", "inside", "outside"),
    [
        ("horizontal", 25, 26),
        ("vertical", 70, 71),
        ("travel", 70, 71),
        ("twist", 135, 136),
        ("per_minute", 15, Fraction(151, 10)),
    ],
)
def test_beyond_its_range_nothing_may_be_lifted(
    name: str, inside: int, outside: Fraction | int
) -> None:
    assert recommended(replace(BEST, **{name: inside})) > 0  # type: ignore[arg-type]
    nothing = recommended(replace(BEST, **{name: outside}))  # type: ignore[arg-type]
    assert nothing == 0
    assert lifting_index(10, nothing) is None


@pytest.mark.parametrize(
    ("lift", "value"),
    [
        (replace(BEST_METRIC, horizontal=50), Fraction(23, 2)),
        (replace(BEST_METRIC, vertical=0), 23 * Fraction(775, 1000)),
        (replace(BEST_METRIC, travel=90), 23 * Fraction(87, 100)),
        (replace(BEST_METRIC, horizontal=64), 0),
        (replace(BEST, twist=90), 51 * Fraction(712, 1000)),
        (replace(BEST, vertical=29, coupling=FAIR), 51 * Fraction(9925, 10000) * Fraction(95, 100)),
        (replace(BEST, coupling=FAIR), 51),
        (replace(BEST, coupling=POOR), Fraction(459, 10)),
    ],
)
def test_each_multiplier_in_both_systems(lift: Lift, value: Fraction) -> None:
    assert recommended(lift) == value


def test_three_printed_cells_differ_from_the_formula() -> None:
    for lift, cell in (
        (replace(BEST, horizontal=22), Fraction(46, 100)),
        (replace(BEST, horizontal=23), Fraction(44, 100)),
        (replace(BEST_METRIC, travel=130), Fraction(86, 100)),
    ):
        assert recommended(lift, as_printed=True) == lift.units.load * cell
        assert recommended(lift, as_printed=True) != recommended(lift)


def test_frequency_is_linear_between_the_rows() -> None:
    """Example 7 of the manual: 2.4 lifts a minute, up to an hour, give 0.898 (p. 56, 57)."""
    assert frequency_multiplier(replace(BEST, per_minute=Fraction("2.4"))) == Fraction("0.898")
    assert frequency_multiplier(replace(BEST, per_minute=Fraction("0.1"))) == 1
    assert frequency_multiplier(replace(BEST, per_minute=9, duration=LONG)) == Fraction("0.15")


def test_frequency_goes_by_the_hands_at_the_origin() -> None:
    low = replace(BEST, vertical=40, per_minute=14, origin=20)
    assert frequency_multiplier(low) == 0
    assert frequency_multiplier(replace(low, origin=None)) == Fraction("0.31")
    assert frequency_multiplier(replace(low, per_minute=Fraction("12.5"))) == 0


def test_every_column_falls_and_a_longer_day_never_allows_more() -> None:
    for start in (False, True):
        columns = [niosh.FREQUENCY[name, start] for name in (SHORT, MODERATE, LONG)]
        assert all(len(column) == len(niosh.FREQUENCIES) for column in columns)
        assert all(list(column) == sorted(column, reverse=True) for column in columns)
        for more, less in pairwise(columns):
            assert all(a >= b for a, b in zip(more, less, strict=True))


def test_work_in_part_of_a_quarter_hour_is_spread_over_it() -> None:
    assert float(mean_per_minute(10, 8)) == pytest.approx(5.33, abs=0.005)
    assert float(mean_per_minute(50, 1)) == pytest.approx(3.33, abs=0.005)


@pytest.mark.parametrize(
    ("spells", "name"),
    [
        ([(30, 10), (45, 0)], MODERATE),
        ([(30, 30), (45, 0)], SHORT),
        ([(60, 60), (60, 60)], SHORT),
        ([(120, 36), (120, 36)], MODERATE),
        ([(120, 35), (120, 0)], LONG),
        ([(481, 0)], None),
        ([], SHORT),
    ],
)
def test_spells_without_enough_rest_count_as_one(
    spells: list[tuple[int, int]], name: str | None
) -> None:
    assert duration_class(spells) == name


def test_the_distance_is_taken_from_the_depth_of_the_load() -> None:
    assert reach_from_depth(10, 10) == 13
    assert reach_from_depth(10, 9) == 15
    assert reach_from_depth(10, 25, units=METRIC) == 25
    assert reach_from_depth(10, 24, units=METRIC) == 30


def task(load: int, limit: int, per_minute: int) -> Task:
    """Make a task whose limit without frequency is given: 51 x 10 / H."""
    return Task(load, replace(BEST, horizontal=Fraction(510, limit), per_minute=per_minute))


def test_the_composite_example() -> None:
    """Loads 30, 20, 10 lb with limits 20, 20, 15 lb; here all doubled, as no reach gives 20 lb."""
    found = composite_index([task(20, 30, 4), task(40, 40, 2), task(60, 40, 1)])
    assert found is not None
    assert float(found) == pytest.approx(1.87, abs=0.01)
    assert places(found) == 1.9


def test_a_job_with_a_lift_that_nobody_may_do_has_no_index() -> None:
    far = Task(10, replace(BEST, horizontal=30))
    assert composite_index([task(30, 40, 1), far]) is None
    assert composite_index([task(10, 40, 8), task(20, 40, 8)]) is None
    assert composite_index([]) == 0


@given(st.integers(0, 25), st.integers(0, 70), st.integers(0, 70), st.integers(0, 135))
def test_no_posture_allows_more_than_the_load_constant(h: int, v: int, d: int, a: int) -> None:
    limit = recommended(Lift(h, v, d, a, units=US))
    assert 0 < limit <= 51
    assert limit >= recommended(Lift(h, v, d, a, per_minute=3))
