"""What a stone may weigh, from its stored measures and its cemetery's settings."""

from dataclasses import dataclass

from workdays.models import Stone
from workdays.queries.ground import settings_of
from workdays.rules import weights


@dataclass(frozen=True)
class WeightWords:
    """A range in words, on what it rests, and the cautions that go with it."""

    words: str
    basis: str
    cautions: list[str]
    needs_riggers: bool


def weight_of(stone: Stone) -> WeightWords | None:
    """Return what a stone may weigh; None when a measure is missing or volume says nothing."""
    sizes = (stone.height_cm, stone.width_cm, stone.thickness_cm)
    if not all(sizes):
        return None
    settings = settings_of(stone.cemetery)
    hidden = float(settings["below_ground_fraction"])
    height, width, thickness = (float(size or 0) for size in sizes)
    measures = weights.Measures(stone.type, stone.material, height, width, thickness)
    found = weights.weight(measures, below_ground=hidden)
    if found is None:
        return None
    limit_lb = float(settings["lift_limit_lb"])
    riggers = weights.needs_riggers(found, limit_lb=limit_lb)
    above = [f"It may weigh over {limit_lb:g} lb: trained riggers and a hoist only."]
    return WeightWords(
        words=found.words,
        basis=_basis(stone, hidden),
        cautions=[*(above if riggers else []), weights.CAUTION],
        needs_riggers=riggers,
    )


def _basis(stone: Stone, hidden: float) -> str:
    material = str(stone.get_material_display())
    below = (
        f", with {hidden * 100:.0f} % of it taken to be below ground"
        if stone.type in weights.SET_IN_GROUND
        else ""
    )
    return f"From the measures and the density of {material}{below}, plus a margin of 15 %."
