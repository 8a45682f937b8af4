"""The heat index against what the US National Weather Service published.

Chart: NWS Tulsa, 135 filled cells, copied to fixtures/published. Formula: NWS Weather Prediction
Center, The Heat Index Equation (Rothfusz, NWS Technical Attachment SR 90-23, 1990).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.heat_index import adjustment, heat_index, regression, simple
from workdays.rules.units import rounded

CHART = Path(__file__).parents[3] / "fixtures" / "published" / "heat_index_chart.csv"


def cells() -> dict[tuple[int, int], int]:
    """Return the printed value of each (temperature, humidity)."""
    lines = [line for line in CHART.read_text().splitlines() if not line.startswith("#")]
    rows = [tuple(map(int, line.split(","))) for line in lines[1:]]
    return {(t, rh): printed for t, rh, printed in rows}


def differing(formula: Callable[[float, float], float]) -> dict[tuple[int, int], int]:
    """Return the cells in which a formula rounds to something else than is printed."""
    return {
        cell: printed for cell, printed in cells().items() if rounded(formula(*cell)) != printed
    }


def test_the_bare_regression_gives_134_of_the_135_printed_cells() -> None:
    assert len(cells()) == 135
    assert differing(regression) == {(90, 45): 93}
    assert regression(90, 45) == pytest.approx(92.49, abs=0.005)


def test_the_full_algorithm_differs_where_it_adjusts_for_damp_air_and_there_only() -> None:
    assert set(differing(heat_index)) == {
        (80, 95),
        (80, 100),
        (82, 90),
        (82, 95),
        (82, 100),
        (84, 95),
        (84, 100),
        (86, 95),
        (90, 45),
    }


@pytest.mark.parametrize(
    ("formula", "temperature_f", "humidity_percent", "value"),
    [
        (heat_index, 96, 65, 121),
        (heat_index, 90, 45, 92.49),
        (regression, 82, 90, 91.49),
        (heat_index, 82, 90, 91.99),
        (regression, 100, 10, 94.75),
        (heat_index, 100, 10, 94.12),
        (simple, 75, 50, 74.55),
        (heat_index, 75, 50, 74.55),
        (heat_index, 80, 40, 79.58),
        (regression, 80, 40, 79.93),
    ],
)
def test_check_points(
    formula: Callable[[float, float], float],
    temperature_f: float,
    humidity_percent: float,
    value: float,
) -> None:
    tolerance = 0.5 if value == 121 else 0.005
    assert formula(temperature_f, humidity_percent) == pytest.approx(value, abs=tolerance)


@pytest.mark.parametrize(
    ("temperature_f", "humidity_percent", "sign"),
    [
        (79.9, 5, 0),
        (80, 5, -1),
        (111, 5, -1),
        (112, 5, 0),
        (112.1, 5, 0),
        (95, 13, 0),
        (80, 85, 0),
        (80, 86, 1),
        (79.9, 90, 0),
        (86.9, 90, 1),
        (87, 90, 0),
        (87.1, 90, 0),
        (95, 50, 0),
    ],
)
def test_adjustments_hold_in_their_ranges_only(
    temperature_f: float, humidity_percent: float, sign: int
) -> None:
    value = adjustment(temperature_f, humidity_percent)
    assert (value > 0) - (value < 0) == sign


@given(st.floats(-40, 130), st.integers(0, 99))
def test_damper_air_of_the_same_warmth_never_feels_much_cooler(
    temperature_f: float, humidity_percent: int
) -> None:
    drier = heat_index(temperature_f, humidity_percent)
    assert heat_index(temperature_f, humidity_percent + 1) >= drier - 1.3
