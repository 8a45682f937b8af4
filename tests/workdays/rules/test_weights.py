"""Weights: federal upright marble headstone 42 x 13 x 4 in (from memory), about 230 lb (local
news on Fort Sill National Cemetery, 2019). Densities: ASTM C503, C615, C568, C616; ranges from
memory, as in fixtures/published/stone_density.csv.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workdays.rules.weights import (
    CAUTION,
    DENSITY_KG_M3,
    Measures,
    Weight,
    needs_riggers,
    weight,
)

TABLE = Path(__file__).parents[3] / "fixtures" / "published" / "stone_density.csv"
UPRIGHT = Measures("tablet", "marble", 42 * 2.54, 13 * 2.54, 4 * 2.54, above_ground=False)
METRE = Measures("ledger", "granite", 100, 100, 100)


def found(measures: Measures, below_ground: float = 0.5) -> Weight:
    result = weight(measures, below_ground=below_ground)
    assert result is not None
    return result


def test_the_published_weight_of_the_federal_upright_lies_inside_the_range() -> None:
    upright = found(UPRIGHT)
    assert upright.low_lb < 230 < upright.high_lb
    assert (upright.low_lb, upright.high_lb) == (205, 258)


def test_a_block_of_one_cubic_metre_weighs_its_density_and_the_margin() -> None:
    assert found(METRE) == Weight(2560, 3220)
    assert found(METRE).words == "about 5644 to 7099 lb (2560 to 3220 kg)"


def test_densities_are_the_published_ones() -> None:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    spans: dict[str, list[int]] = {}
    for row in csv.DictReader(lines):
        figures = [row["density_kg_m3"], row["low_kg_m3"], row["high_kg_m3"]]
        numbers = [int(figure) for figure in figures if figure]
        spans.setdefault(row["material"].split(" ")[0].strip(","), []).extend(numbers)
    ranges = {material: (min(numbers), max(numbers)) for material, numbers in spans.items()}
    known = {key: span for key, span in DENSITY_KG_M3.items() if key != "unknown"}
    assert known == {key: ranges[key] for key in known}
    assert DENSITY_KG_M3["unknown"] == (
        min(low for low, _ in ranges.values()),
        max(high for _, high in ranges.values()),
    )


@pytest.mark.parametrize("stone_type", ["tablet", "shouldered", "footstone", "other"])
def test_half_or_a_third_of_a_stone_set_in_the_ground_is_hidden(stone_type: str) -> None:
    tablet = replace(METRE, stone_type=stone_type)
    assert found(tablet) == Weight(5120, 6440)
    assert found(tablet, 1 / 3) == Weight(3840, 4830)
    assert found(replace(tablet, above_ground=False)) == Weight(2560, 3220)


def test_an_obelisk_is_a_frustum() -> None:
    obelisk = replace(METRE, stone_type="obelisk")
    assert found(replace(obelisk, top_fraction=0)) == Weight(853, 1073)
    assert found(replace(obelisk, top_fraction=0.5)).low_kg == 1493
    assert found(obelisk) == Weight(1493, 3220)


def test_a_pedestal_is_a_die_on_a_base() -> None:
    pedestal = replace(METRE, stone_type="pedestal")
    half = replace(pedestal, base_fraction=0.5, die_fraction=0.6)
    assert found(half) == Weight(1741, 2190)
    assert found(pedestal) == Weight(1690, 3220)


def test_metal_markers_are_hollow_so_volume_says_nothing() -> None:
    assert weight(replace(METRE, material="metal")) is None


def test_an_unknown_material_has_the_widest_range() -> None:
    unknown = found(replace(METRE, material="unknown"))
    for material in DENSITY_KG_M3:
        known = found(replace(METRE, material=material))
        assert unknown.low_kg <= known.low_kg
        assert known.high_kg <= unknown.high_kg


@pytest.mark.parametrize("field", ["height_cm", "width_cm", "thickness_cm"])
def test_measures_must_be_above_zero(field: str) -> None:
    zero: dict[str, Any] = {field: 0}
    with pytest.raises(ValueError, match="above zero"):
        weight(replace(METRE, **zero))


@pytest.mark.parametrize("below_ground", [-0.1, 1])
def test_the_hidden_part_is_a_part(below_ground: float) -> None:
    with pytest.raises(ValueError, match="hidden part"):
        weight(METRE, below_ground=below_ground)


def test_the_heavier_end_decides_about_riggers() -> None:
    assert not needs_riggers(found(UPRIGHT), limit_lb=300)
    assert needs_riggers(found(UPRIGHT), limit_lb=257)
    assert not needs_riggers(found(UPRIGHT), limit_lb=258)


def test_the_caution_defers_to_those_who_decide() -> None:
    assert "Local law" in CAUTION
    assert "riggers" in CAUTION


sizes = st.floats(5, 300)


@given(
    st.builds(
        Measures,
        st.sampled_from(["tablet", "obelisk", "pedestal", "ledger", "flush"]),
        st.sampled_from(sorted(DENSITY_KG_M3)),
        sizes,
        sizes,
        sizes,
        st.booleans(),
    )
)
def test_the_range_is_in_order_and_a_larger_stone_is_never_lighter(measures: Measures) -> None:
    one, larger = found(measures), found(replace(measures, width_cm=measures.width_cm * 1.5))
    assert one.low_kg <= one.high_kg
    assert one.low_kg <= larger.low_kg
    assert one.high_kg <= larger.high_kg
