"""How dense stone is, from its least to its greatest, with who says so.

Least values are what the standards of ASTM ask of new stone: C503 (marble), C615 (granite), C568
class I (limestone), C616 class I (sandstone), as tabulated on a supplier's summary page and read
in a copy. C629 asks no density of slate. Other figures are typical ranges, from memory. All in
fixtures/published/stone_density.csv.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Density:
    """Least and greatest density in kilograms per cubic metre, and where each end is from."""

    light: int
    dense: int
    source: str

    @property
    def words(self) -> str:
        """Return the range with its source."""
        return f"{self.light} to {self.dense} kg per cubic metre ({self.source})"


DENSITIES: dict[str, Density] = {
    "marble": Density(2590, 2850, "least by ASTM C503; greatest from memory"),
    "granite": Density(2560, 2800, "least by ASTM C615; greatest from memory"),
    "limestone": Density(1760, 2700, "least by ASTM C568, class I; greatest from memory"),
    "sandstone": Density(2000, 2600, "least by ASTM C616, class I; greatest from memory"),
    "slate": Density(2700, 2850, "from memory; ASTM C629 asks no density of slate"),
    "concrete": Density(2320, 2400, "plain to reinforced, from memory"),
    "unknown": Density(1760, 3000, "material not known: from the lightest limestone to basalt"),
}
"""By the stored word of the material. Metal markers are hollow castings: not in here."""
