"""What a weight rests on, in sentences: nothing that was assumed goes unsaid."""

from __future__ import annotations

from workdays.rules.densities import DENSITIES
from workdays.rules.units import plain
from workdays.rules.weights import MARGIN, SET_IN_GROUND, Measures, hidden_cm

HOLLOW = (
    "Cast metal markers are hollow: their outside says nothing of their weight. Weigh it, or let "
    "trained riggers judge it; never count it as solid metal, and never trust it to be light."
)


def assumptions(measures: Measures, *, below_ground: float, pieces: int = 1) -> list[str]:
    """Return every assumption behind the weight of a stone that volume says something of."""
    return [
        f"Density {DENSITIES[measures.material].words}.",
        f"{MARGIN * 100:.0f} % is added to the upper end: the federal upright marble headstone "
        "comes out 11 % too light from its measures (230 lb by local news on Fort Sill National "
        "Cemetery, 2019; its size from memory).",
        _hidden(measures, below_ground),
        *_form(measures),
        *_rounding(measures),
        *([f"All {pieces} pieces are counted together."] if pieces > 1 else []),
    ]


def _hidden(measures: Measures, below_ground: float) -> str:
    sunk = measures.sunk_cm or 0
    if sunk and hidden_cm(measures, below_ground) == sunk:
        return (
            f"{plain(sunk)} cm are below ground, as measured at the last look; as wide as the "
            "foot (own reading)."
        )
    if measures.above_ground and measures.stone_type in SET_IN_GROUND:
        also = " The depth measured at the last look would be less." if sunk else ""
        return (
            f"{below_ground * 100:.0f} % of the whole height is taken to be below ground, a "
            "setting of the cemetery. Published: one half (Strangstad, A Graveyard Preservation "
            f"Primer) and one third (volunteer classes).{also}"
        )
    return (
        "Nothing below ground is counted, since no depth was measured; a slant marker once had "
        "18 in more below (a restorer's page, 2018)."
    )


def _form(measures: Measures) -> list[str]:
    if measures.stone_type == "obelisk":
        return [_obelisk(measures)]
    if measures.stone_type == "pedestal":
        return [_base(measures), _die(measures)]
    return ["Taken as a full block: a rounded or shouldered top makes it a little lighter."]


def _obelisk(measures: Measures) -> str:
    if measures.top_width_cm is None:
        return (
            "The width of its top was not measured: from half the foot's width (common practice, "
            "no source) to the full block."
        )
    return (
        f"A frustum from {plain(measures.width_cm)} cm wide at the foot to "
        f"{plain(measures.top_width_cm)} cm at the top, its point counted as if it were full."
    )


def _base(measures: Measures) -> str:
    if measures.base_height_cm is None:
        return (
            "The height of its base was not measured: from a fifth to half of the whole (common "
            "practice, no source)."
        )
    return f"The base is {plain(measures.base_height_cm)} cm high and as wide as the whole."


def _die(measures: Measures) -> str:
    if measures.die_width_cm is None:
        return (
            "The width of its die was not measured: from 0.7 of the base's (common practice, no "
            "source) to the full block."
        )
    return (
        f"The die is {plain(measures.die_width_cm)} cm wide, and square unless the base is thinner."
    )


def _rounding(measures: Measures) -> list[str]:
    if not measures.kept_to_cm:
        return []
    half = plain(measures.kept_to_cm / 2)
    return [f"Measures are kept in whole centimetres: {half} cm more or less is counted."]
