"""The outside of a stone as a block, for what is loaded: its volume, its faces, where it stands.

A stone is counted as the block around it, so that there is rather too much on the car. What was
not measured is taken as usual for its type: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from workdays.rules.units import CM_PER_INCH, LITRES_PER_CUBIC_FOOT, Number, exact
from workdays.rules.weights import SET_IN_GROUND

Block = tuple[int, int, int]  # height, width, thickness in centimetres

USUAL = (100, 50, 10)
USUAL_BY_TYPE: dict[str, Block] = {
    "obelisk": (200, 50, 50),
    "pedestal": (200, 50, 50),
    "ledger": (10, 180, 80),
    "footstone": (40, 25, 8),
    "flush": (10, 60, 30),
}
LYING = frozenset({"ledger", "flush"})
SQUARE_CM_PER_SQUARE_FOOT = (12 * CM_PER_INCH) ** 2


@dataclass(frozen=True, slots=True)
class StoneSize:
    """One stone as it was measured above ground, in centimetres; None: not measured."""

    number: str
    stone_type: str = "tablet"
    height_cm: Number | None = None
    width_cm: Number | None = None
    thickness_cm: Number | None = None
    pieces: int = 1

    @property
    def is_measured(self) -> bool:
        """Return whether nothing has to be assumed."""
        return bool(self.height_cm and self.width_cm and self.thickness_cm)

    @property
    def stands_in_ground(self) -> bool:
        """Return whether its lower part is hidden."""
        return self.stone_type in SET_IN_GROUND

    @property
    def block(self) -> tuple[Fraction, Fraction, Fraction]:
        """Return height, width and thickness; what lies has its two longest sides on the ground."""
        usual = USUAL_BY_TYPE.get(self.stone_type, USUAL)
        known = (self.height_cm, self.width_cm, self.thickness_cm)
        height, width, thickness = (
            exact(size or other) for size, other in zip(known, usual, strict=True)
        )
        if self.stone_type in LYING:
            height, thickness, width = sorted((height, width, thickness))
        return height, width, thickness

    @property
    def cubic_feet(self) -> Fraction:
        """Return the volume of the block around it."""
        height, width, thickness = self.block
        return height * width * thickness / 1000 / LITRES_PER_CUBIC_FOOT

    @property
    def foot_cm2(self) -> Fraction:
        """Return the area on which it stands or lies."""
        _, width, thickness = self.block
        return width * thickness

    @property
    def square_feet(self) -> Fraction:
        """Return its faces above ground: four sides and the top."""
        height, width, thickness = self.block
        faces = 2 * height * (width + thickness) + width * thickness
        return faces / SQUARE_CM_PER_SQUARE_FOOT
