from __future__ import annotations

from dataclasses import replace

from workdays.rules.weight_words import HOLLOW, assumptions
from workdays.rules.weights import Measures

TABLET = Measures("tablet", "marble", 100, 50, 8)


def said(measures: Measures, pieces: int = 1) -> str:
    return " ".join(assumptions(measures, below_ground=0.5, pieces=pieces))


def test_density_margin_and_hidden_part_are_said_with_their_sources() -> None:
    words = said(TABLET)
    assert "2590 to 2850 kg per cubic metre (least by ASTM C503; greatest from memory)" in words
    assert "15 % is added" in words
    assert "50 % of the whole height is taken to be below ground" in words
    assert "one half" in words
    assert "one third" in words
    assert "depth measured" not in words
    assert "full block" in words


def test_a_measured_depth_is_said_whether_it_counts_or_not() -> None:
    assert "150 cm are below ground, as measured" in said(replace(TABLET, sunk_cm=150))
    assert "would be less" in said(replace(TABLET, sunk_cm=30))
    ledger = replace(TABLET, stone_type="ledger")
    assert "Nothing below ground is counted" in said(ledger)
    assert "20 cm are below ground" in said(replace(ledger, sunk_cm=20))
    assert "Nothing below" in said(replace(TABLET, above_ground=False))


def test_what_was_not_measured_is_said() -> None:
    obelisk = replace(TABLET, stone_type="obelisk")
    assert "its top was not measured" in said(obelisk)
    assert "from 50 cm wide at the foot to 30 cm" in said(replace(obelisk, top_width_cm=30))
    pedestal = replace(TABLET, stone_type="pedestal")
    assert "height of its base was not measured" in said(pedestal)
    assert "width of its die was not measured" in said(pedestal)
    measured = said(replace(pedestal, base_height_cm=20, die_width_cm=40))
    assert "base is 20 cm high" in measured
    assert "die is 40 cm wide" in measured


def test_rounding_and_pieces_are_said() -> None:
    assert "0.5 cm more or less" in said(replace(TABLET, kept_to_cm=1))
    assert "All 3 pieces" in said(TABLET, pieces=3)
    assert "hollow" in HOLLOW
