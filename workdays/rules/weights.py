"""What a stone may weigh: a range from its measures, never a clearance to lift it.

Method: outside volume times density. The federal upright marble headstone (42 x 13 x 4 in, from
memory) comes out 11 % below its published 230 lb with the least density allowed (ASTM C503), so
the upper end carries a margin of 15 %. Densities: fixtures/published/stone_density.csv.
"""

from __future__ import annotations

from dataclasses import dataclass

from workdays.rules.units import pounds, rounded

MARGIN = 0.15
BELOW_GROUND = 0.5

SET_IN_GROUND = frozenset({"tablet", "shouldered", "footstone", "other"})
"""Types whose lower part is hidden; tablets before about 1900: as much below as above
(Strangstad, A Graveyard Preservation Primer)."""

DENSITY_KG_M3: dict[str, tuple[int, int]] = {
    "marble": (2590, 2850),
    "granite": (2560, 2800),
    "limestone": (1760, 2700),
    "sandstone": (2000, 2600),
    "slate": (2700, 2850),
    "concrete": (2320, 2400),
    "unknown": (1760, 3000),
}
"""Least and greatest, by the stored word of the material; metal markers are hollow castings."""

CAUTION = (
    "An estimate from outside measures, for planning only. Never lift by it: stones hide more "
    "below ground, hold water and break. One person calls each lift; trained riggers and a hoist "
    "above about 300 lb (136 kg). Local law, the owner's rules and licensed professionals decide."
)


@dataclass(frozen=True, slots=True)
class Measures:
    """Outside measures in centimetres; width and thickness where the stone is widest.

    `above_ground`: only what stands out was measured. `top_fraction`: width at the top of an
    obelisk by its width at the foot. `base_fraction`: how much of a pedestal's height is base.
    `die_fraction`: width of its die by that of its base. None: not measured.
    """

    stone_type: str
    material: str
    height_cm: float
    width_cm: float
    thickness_cm: float
    above_ground: bool = True
    top_fraction: float | None = None
    base_fraction: float | None = None
    die_fraction: float | None = None


@dataclass(frozen=True, slots=True)
class Weight:
    """A range, in kilograms and pounds, whole numbers."""

    low_kg: int
    high_kg: int

    @property
    def low_lb(self) -> int:
        """Return the lower end in pounds."""
        return rounded(pounds(self.low_kg))

    @property
    def high_lb(self) -> int:
        """Return the upper end in pounds."""
        return rounded(pounds(self.high_kg))

    @property
    def words(self) -> str:
        """Return the range as people read it."""
        return f"about {self.low_lb} to {self.high_lb} lb ({self.low_kg} to {self.high_kg} kg)"


def weight(measures: Measures, *, below_ground: float = BELOW_GROUND) -> Weight | None:
    """Return what a stone may weigh with its hidden part; None where volume says nothing (metal).

    `below_ground`: the part of the whole height that is hidden, 0 to below 1; one half is the
    heavier of the two published guesses. Raises ValueError for measures not above zero.
    """
    if measures.material not in DENSITY_KG_M3:
        return None
    if min(measures.height_cm, measures.width_cm, measures.thickness_cm) <= 0:
        raise ValueError("height, width and thickness must be above zero")
    if not 0 <= below_ground < 1:
        raise ValueError("the hidden part must be at least 0 and below 1")
    block_m3 = _height(measures, below_ground) * measures.width_cm * measures.thickness_cm / 1e6
    (least, most), (light, dense) = _shape(measures), DENSITY_KG_M3[measures.material]
    return Weight(
        rounded(block_m3 * least * light), rounded(block_m3 * most * dense * (1 + MARGIN))
    )


def needs_riggers(found: Weight, *, limit_lb: float) -> bool:
    """Whether the stone may be above the weight that people move without riggers and a hoist."""
    return found.high_lb > limit_lb


def _height(measures: Measures, below_ground: float) -> float:
    """Return the whole height in centimetres, the hidden part included."""
    if not measures.above_ground or measures.stone_type not in SET_IN_GROUND:
        return measures.height_cm
    return measures.height_cm / (1 - below_ground)


def _shape(measures: Measures) -> tuple[float, float]:
    """Return the least and greatest part of its outside block that a stone fills.

    What was not measured spans from half (obelisk) or 0.7 (die of a pedestal: common practice,
    no source) to the full block.
    """
    if measures.stone_type == "obelisk":
        tops = (0.5, 1.0) if measures.top_fraction is None else (measures.top_fraction,) * 2
        return _frustum(tops[0]), _frustum(tops[1])
    if measures.stone_type == "pedestal":
        dies = (0.7, 1.0) if measures.die_fraction is None else (measures.die_fraction,) * 2
        base = 1 / 3 if measures.base_fraction is None else measures.base_fraction
        return _die_and_base(dies[0], base), _die_and_base(dies[1], base)
    return 1.0, 1.0


def _frustum(top: float) -> float:
    """Return the volume of a square frustum by that of its block; `top` by the foot's width."""
    return (1 + top + top**2) / 3


def _die_and_base(die: float, base: float) -> float:
    """Return the volume of a die on a base by that of the block around both."""
    return base + (1 - base) * die**2
