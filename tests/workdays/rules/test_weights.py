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

from workdays.rules.densities import DENSITIES
from workdays.rules.units import rounded
from workdays.rules.weights import (
    CAUTION,
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


def published() -> list[dict[str, str]]:
    lines = [line for line in TABLE.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


def test_densities_are_the_published_ones() -> None:
    spans: dict[str, list[int]] = {}
    for row in published():
        figures = [row["density_kg_m3"], row["low_kg_m3"], row["high_kg_m3"]]
        numbers = [int(figure) for figure in figures if figure]
        spans.setdefault(row["material"].split(" ")[0].strip(","), []).extend(numbers)
    ranges = {material: (min(numbers), max(numbers)) for material, numbers in spans.items()}
    found = {key: (density.light, density.dense) for key, density in DENSITIES.items()}
    known = {key: span for key, span in found.items() if key != "unknown"}
    assert known == {key: ranges[key] for key in known}
    assert found["unknown"] == (
        min(low for low, _ in ranges.values()),
        max(high for _, high in ranges.values()),
    )


@pytest.mark.parametrize(
    ("material", "standard"),
    [
        ("marble", "ASTM C503"),
        ("granite", "ASTM C615"),
        ("limestone", "ASTM C568"),
        ("sandstone", "ASTM C616"),
    ],
)
def test_no_stone_is_taken_lighter_than_its_standard_allows(material: str, standard: str) -> None:
    rows = [row for row in published() if row["source"].startswith(standard)]
    assert {row["kind"] for row in rows} == {"minimum"}
    least = min(int(row["density_kg_m3"]) for row in rows)
    assert DENSITIES[material].light == least
    assert standard in DENSITIES[material].words
    assert all(int(row["density_kg_m3"]) <= DENSITIES[material].dense for row in rows)


@pytest.mark.parametrize("stone_type", ["tablet", "shouldered", "footstone", "other"])
def test_half_or_a_third_of_a_stone_set_in_the_ground_is_hidden(stone_type: str) -> None:
    tablet = replace(METRE, stone_type=stone_type)
    assert found(tablet) == Weight(5120, 6440)
    assert found(tablet, 1 / 3) == Weight(3840, 4830)
    assert found(replace(tablet, above_ground=False)) == Weight(2560, 3220)


def test_an_obelisk_is_a_frustum() -> None:
    obelisk = replace(METRE, stone_type="obelisk")
    assert found(replace(obelisk, top_width_cm=50)) == Weight(1493, 1878)
    assert found(replace(obelisk, top_width_cm=1)).low_kg == 862
    assert found(obelisk) == Weight(1493, 3220)
    assert found(replace(obelisk, top_width_cm=500)) == found(METRE)


def test_a_pedestal_is_a_die_on_a_base() -> None:
    pedestal = replace(METRE, stone_type="pedestal")
    assert found(replace(pedestal, base_height_cm=50, die_width_cm=60)) == Weight(1741, 2190)
    assert found(replace(pedestal, base_height_cm=50)) == Weight(1907, 3220)
    assert found(replace(pedestal, die_width_cm=60)) == Weight(1249, 2190)
    assert found(pedestal) == Weight(1516, 3220)
    assert found(replace(pedestal, base_height_cm=500)) == found(METRE)


def test_a_die_on_a_thin_base_is_as_thick_as_the_base() -> None:
    slab = replace(METRE, stone_type="pedestal", thickness_cm=50, base_height_cm=20)
    assert found(replace(slab, die_width_cm=80)).low_kg == rounded(2560 * (0.1 + 0.4 * 0.8))


def test_a_depth_that_was_measured_counts_where_it_is_heavier() -> None:
    tablet = replace(METRE, stone_type="tablet")
    assert found(replace(tablet, sunk_cm=20)) == found(tablet)
    assert found(replace(tablet, sunk_cm=150)) == Weight(6400, 8050)
    assert found(replace(METRE, sunk_cm=50)) == Weight(3840, 4830)
    obelisk = replace(METRE, stone_type="obelisk", top_width_cm=50, sunk_cm=50)
    assert found(obelisk).low_kg == rounded(2560 * (1.75 / 3 + 0.5))


def test_rounding_of_the_measures_widens_the_range() -> None:
    kept = found(replace(METRE, kept_to_cm=1))
    assert kept == Weight(rounded(2560 * 0.995**3), rounded(2800 * 1.15 * 1.005**3))
    thin = replace(METRE, thickness_cm=0.5, kept_to_cm=1)
    assert found(thin).low_kg == rounded(2560 * 0.995**2 * 0.0025)


def test_metal_markers_are_hollow_so_volume_says_nothing() -> None:
    assert weight(replace(METRE, material="metal")) is None


def test_an_unknown_material_has_the_widest_range() -> None:
    unknown = found(replace(METRE, material="unknown"))
    for material in DENSITIES:
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
parts = st.none() | sizes
SIZES = ["height_cm", "width_cm", "thickness_cm"]
PARTS = ["top_width_cm", "base_height_cm", "die_width_cm", "sunk_cm"]


@given(
    st.builds(
        Measures,
        st.sampled_from(["tablet", "obelisk", "pedestal", "ledger", "flush"]),
        st.sampled_from(sorted(DENSITIES)),
        sizes,
        sizes,
        sizes,
        st.booleans(),
        parts,
        parts,
        parts,
        parts,
        st.sampled_from([0, 1]),
    ),
    st.sampled_from([*SIZES, *PARTS]),
    st.floats(1, 3),
)
def test_the_range_is_in_order_and_a_larger_stone_is_never_lighter(
    measures: Measures, name: str, factor: float
) -> None:
    size = getattr(measures, name)
    grown: dict[str, Any] = {name: size * factor if size else size}
    one, larger = found(measures), found(replace(measures, **grown))
    assert one.low_kg <= one.high_kg
    assert one.low_kg <= larger.low_kg
    assert one.high_kg <= larger.high_kg
