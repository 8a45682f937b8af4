"""The ground of the season: cemeteries, sections, stones, surveys."""

import random
from datetime import date
from typing import Any

from coordinator.management.season.leave import permit
from workdays.models import (
    Cemetery,
    Section,
    Stone,
)

TYPES = {
    "t": (Stone.Type.TABLET, (95, 48, 7)),
    "h": (Stone.Type.SHOULDERED, (120, 56, 8)),
    "o": (Stone.Type.OBELISK, (190, 48, 48)),
    "p": (Stone.Type.PEDESTAL, (130, 50, 50)),
    "l": (Stone.Type.LEDGER, (18, 80, 180)),
    "f": (Stone.Type.FOOTSTONE, (38, 22, 7)),
    "m": (Stone.Type.FLUSH, (12, 60, 35)),
    "x": (Stone.Type.OTHER, (70, 50, 30)),
}
MATERIALS = ["marble"] * 6 + ["limestone"] * 2 + ["sandstone"] * 2 + ["granite", "slate"]
SURNAMES = ("Ames", "Bell", "Cobb", "Dray", "Eddy", "Frost", "Gage", "Hale", "Ives", "Judd", "Kane")
PLAIN = {
    "name",
    "slug",
    "owner_name",
    "owner_contact",
    "owner_email",
    "owner_telephone",
    "latitude",
    "longitude",
    "address",
    "way_in",
    "water",
    "toilet",
    "shade",
    "parking",
    "phone_signal",
}


def make_cemetery(told: dict[str, Any], *, today: date) -> Cemetery:
    """Make one cemetery and, where it has one, its permission."""
    values = {key: told[key] for key in PLAIN}
    cemetery = Cemetery.objects.create(**values, time_zone="America/Detroit", us_state="MI")
    if told["permission"]:
        permit(cemetery, told["permission"], today)
    return cemetery


def make_stones(
    cemetery: Cemetery, told: dict[str, Any], dice: random.Random
) -> list[tuple[Stone, str]]:
    """Make the sections and stones of a cemetery; return each stone with its survey letter."""
    made = []
    for order, part in enumerate(told["sections"]):
        section = _section(cemetery, part, order)
        for row, line in enumerate(part["rows"], 1):
            for position, word in enumerate(line.split(), 1):
                if word != "..":
                    stone = _stone(section, part, order, (row, position), word[0], dice)
                    made.append((stone, word[1]))
    return made


def _section(cemetery: Cemetery, part: dict[str, Any], order: int) -> Section:
    corners = [_spot(part, across, up) for across, up in ((0, 0), (1, 0), (1, 1), (0, 1))]
    return Section.objects.create(
        cemetery=cemetery,
        name=part["name"],
        order=order,
        east_m=part["east_m"],
        north_m=part["north_m"],
        outline=[] if part.get("measured") == "nothing" else corners,
    )


def _spot(part: dict[str, Any], across: float, up: float) -> list[float]:
    """Return the place so far across and up a section, each part from 0 to 1, in metres."""
    return [
        round(part["east_m"] + part["width_m"] * across + part["tilt"] * up / 2, 1),
        round(part["north_m"] + part["depth_m"] * up - part["tilt"] * across, 1),
    ]


def _stone(
    section: Section,
    part: dict[str, Any],
    order: int,
    place: tuple[int, int],
    letter: str,
    dice: random.Random,
) -> Stone:
    row, position = place
    columns, rows = len(part["rows"][0].split()), len(part["rows"])
    kind, size = TYPES[letter]
    east, north = _spot(part, (position - 0.5) / columns, 1 - (row - 0.35) / rows)
    measured = "measured" not in part
    height, width, thickness = (round(value * dice.uniform(0.85, 1.2)) for value in size)
    return Stone.objects.create(
        cemetery=section.cemetery,
        section=section,
        number=f"{'ABCDEFG'[order]}{row}-{position}",
        row=row,
        position=position,
        type=kind,
        material=dice.choice(MATERIALS),
        height_cm=height,
        width_cm=width,
        thickness_cm=thickness,
        east_m=east if measured else None,
        north_m=north if measured else None,
        measured_how="tape from the gate post" if measured else "",
        name_on_stone=f"{dice.choice('ABCEHJLMST')}. {dice.choice(SURNAMES)}",
        year_on_stone=dice.randint(1808, 1929),
        certainty=dice.choice([Stone.Certainty.SURE, Stone.Certainty.LIKELY]),
    )


def survey_words(letter: str, stone: Stone, dice: random.Random) -> dict[str, Any] | None:
    """Return what a survey with this letter wrote down; None for a stone not seen."""
    if letter == "n":
        return None
    found: dict[str, Any] = {
        "signs": [],
        "sound": "solid",
        "lean_degrees": dice.choice([0, 1, 2]),
        "lean_direction": "side",
        "height_above_cm": stone.height_cm,
    }
    changes: dict[str, dict[str, Any]] = {
        "c": {"signs": ["growth"]},
        "r": {"lean_degrees": dice.choice([7, 8, 10, 12]), "lean_direction": "front_or_back"},
        "v": {"signs": ["broken_through"]},
        "x": {"signs": [dice.choice(["sugaring", "flaking"])]},
        "a": {"sound": "unknown", "lean_degrees": None},
        "s": {},
    }
    return found | changes[letter]
