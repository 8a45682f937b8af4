"""What a stone may weigh: a range from its measures, never a clearance to lift it.

Method: outside volume times density. The federal upright marble headstone (42 x 13 x 4 in, from
memory) comes out 11 % below its published 230 lb (local news on Fort Sill National Cemetery,
2019) with the least density allowed (ASTM C503), so the upper end carries a margin of 15 %.
What was not measured spans from the lightest usual form to the full block.
"""

from __future__ import annotations

from dataclasses import dataclass

from workdays.rules.densities import DENSITIES
from workdays.rules.units import pounds, rounded

MARGIN = 0.15
BELOW_GROUND = 0.5

SET_IN_GROUND = frozenset({"tablet", "shouldered", "footstone", "other"})
"""Types whose lower part is hidden; tablets before about 1900: as much below as above
(Strangstad, A Graveyard Preservation Primer)."""

LEAST_TOP = 0.5
LEAST_DIE = 0.7
LEAST_BASE, MOST_BASE = 0.2, 0.5
"""Usual forms, by the foot's width and the whole height: common practice, no source."""

CAUTION = (
    "An estimate from outside measures, for planning only. Never lift by it: stones hide more "
    "below ground, hold water and break. One person calls each lift; trained riggers and a hoist "
    "above about 300 lb (136 kg). Local law, the owner's rules and licensed professionals decide."
)


@dataclass(frozen=True, slots=True)
class Measures:
    """Outside measures in centimetres; width and thickness where the stone is widest.

    `above_ground`: only what stands out was measured. `top_width_cm`: width of an obelisk at its
    top, below the point. `base_height_cm` and `die_width_cm`: of a pedestal, whose width and
    thickness are those of the base. `sunk_cm`: how deep it was found sunk. None: not measured.
    `kept_to_cm`: the step to which measures were rounded.
    """

    stone_type: str
    material: str
    height_cm: float
    width_cm: float
    thickness_cm: float
    above_ground: bool = True
    top_width_cm: float | None = None
    base_height_cm: float | None = None
    die_width_cm: float | None = None
    sunk_cm: float | None = None
    kept_to_cm: float = 0


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
    if measures.material not in DENSITIES:
        return None
    if min(measures.height_cm, measures.width_cm, measures.thickness_cm) <= 0:
        raise ValueError("height, width and thickness must be above zero")
    if not 0 <= below_ground < 1:
        raise ValueError("the hidden part must be at least 0 and below 1")
    density, step = DENSITIES[measures.material], measures.kept_to_cm / 2
    least = _volume_m3(measures, below_ground, -step, heavy=False)
    most = _volume_m3(measures, below_ground, step, heavy=True)
    return Weight(rounded(least * density.light), rounded(most * density.dense * (1 + MARGIN)))


def needs_riggers(found: Weight, *, limit_lb: float) -> bool:
    """Whether the stone may be above the weight that people move without riggers and a hoist."""
    return found.high_lb > limit_lb


def hidden_cm(measures: Measures, below_ground: float) -> float:
    """Return how much of a stone is below ground; a depth that was measured counts if heavier.

    That the heavier of guess and measured depth counts is our own reading.
    """
    sunk = measures.sunk_cm or 0
    if not measures.above_ground or measures.stone_type not in SET_IN_GROUND:
        return sunk
    return max(measures.height_cm * below_ground / (1 - below_ground), sunk)


def _volume_m3(measures: Measures, below_ground: float, step: float, *, heavy: bool) -> float:
    """Return the least or greatest volume; what is below ground is as wide as the foot."""
    height, width, thickness = (
        max(size + step, size / 2)
        for size in (measures.height_cm, measures.width_cm, measures.thickness_cm)
    )
    block = height * width * thickness * _filled(measures, height, width, thickness, heavy=heavy)
    return (block + hidden_cm(measures, below_ground) * width * thickness) / 1e6


def _filled(m: Measures, height: float, width: float, thickness: float, *, heavy: bool) -> float:
    """Return the part of its outside block that a stone fills."""
    if m.stone_type == "obelisk":
        top = (1.0 if heavy else LEAST_TOP) * width if m.top_width_cm is None else m.top_width_cm
        return _frustum(min(top / width, 1))
    if m.stone_type == "pedestal":
        usual = MOST_BASE if heavy else LEAST_BASE
        base = usual if m.base_height_cm is None else min(m.base_height_cm / height, 1)
        return base + (1 - base) * _die(m.die_width_cm, width, thickness, heavy=heavy)
    return 1.0


def _frustum(top: float) -> float:
    """Return the volume of a frustum by that of its block; `top` by the foot's width."""
    return (1 + top + top**2) / 3


def _die(die_width: float | None, width: float, thickness: float, *, heavy: bool) -> float:
    """Return the plan of a die by that of its base: square, or as thick as a thinner base."""
    if die_width is None:
        return 1.0 if heavy else LEAST_DIE**2
    across = min(die_width, width)
    return across * min(across, thickness) / (width * thickness)
