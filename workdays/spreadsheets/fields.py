"""What a column can hold: the facts of a stone, and of one look at it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Sort(StrEnum):
    """How the cells of a field are read."""

    LINE = "line"
    TEXT = "text"
    WHOLE = "whole"
    LENGTH = "length"
    METRES = "metres"
    DEGREES = "degrees"
    DAY = "day"
    WORD = "word"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Field:
    """One field: ``label`` heads its column in an export, ``headings`` are others in use.

    ``low`` and ``high`` bound numbers; ``most`` is the longest text, ``places`` are
    the decimal places kept.
    """

    key: str
    label: str
    sort: Sort
    headings: tuple[str, ...] = ()
    low: float = 0
    high: float = 0
    most: int = 0
    places: int = 0


def several(words: str) -> tuple[str, ...]:
    """Return words written in one line with bars between them."""
    return tuple(words.split("|"))


STONE_FIELDS: tuple[Field, ...] = (
    Field(
        "number",
        "Number",
        Sort.LINE,
        several(
            "stone number|stone no|no|nr|stone|stone id|id|marker|marker number|"
            "marker no|grave number|grave no|grave|ref|reference|key|#|stone #"
        ),
        most=40,
    ),
    Field(
        "section", "Section", Sort.LINE, several("sect|sec|area|block|part|plot section"), most=80
    ),
    Field("row", "Row", Sort.WHOLE, ("row no", "row number", "line"), 0, 500),
    Field(
        "position",
        "Place in the row",
        Sort.WHOLE,
        several("position|pos|place|place in row|plot|lot|space|position in row"),
        0,
        2000,
    ),
    Field(
        "type",
        "Type",
        Sort.WORD,
        several(
            "stone type|marker type|kind|form|style|shape|type of stone|"
            "type of marker|monument type|kind of marker|kind of stone"
        ),
    ),
    Field(
        "material",
        "Material",
        Sort.WORD,
        several("stone material|rock|made of|stone kind|material of stone|mat"),
    ),
    Field(
        "height_cm",
        "Height (cm)",
        Sort.LENGTH,
        several("height|ht|h|high|tall|overall height|hgt|height overall"),
        1,
        1500,
    ),
    Field("width_cm", "Width (cm)", Sort.LENGTH, several("width|wd|w|wide|breadth|wdth"), 1, 600),
    Field(
        "thickness_cm",
        "Thickness (cm)",
        Sort.LENGTH,
        several("thickness|thick|th|t|depth|d|thk"),
        1,
        600,
    ),
    Field(
        "top_width_cm",
        "Width at the top (cm)",
        Sort.LENGTH,
        ("width at the top", "top width", "width top"),
        1,
        600,
    ),
    Field(
        "base_height_cm",
        "Height of the base (cm)",
        Sort.LENGTH,
        several("height of the base|base height|height base|base ht"),
        1,
        600,
    ),
    Field(
        "die_width_cm",
        "Width of the die (cm)",
        Sort.LENGTH,
        ("width of the die", "die width", "width die"),
        1,
        600,
    ),
    Field(
        "pieces",
        "Pieces",
        Sort.WHOLE,
        several("number of pieces|no of pieces|parts|fragments"),
        1,
        200,
    ),
    Field(
        "east_m",
        "East (m)",
        Sort.METRES,
        several("east|e|x|easting|metres east|meters east"),
        -5000,
        5000,
    ),
    Field(
        "north_m",
        "North (m)",
        Sort.METRES,
        several("north|n|y|northing|metres north|meters north"),
        -5000,
        5000,
    ),
    Field(
        "measured_how",
        "Place measured how",
        Sort.LINE,
        several("measured how|how measured|measured with|measured by means of"),
        most=80,
    ),
    Field(
        "latitude", "Latitude", Sort.DEGREES, ("lat", "gps lat", "gps latitude"), -90, 90, places=6
    ),
    Field(
        "longitude",
        "Longitude",
        Sort.DEGREES,
        several("long|lon|lng|gps long|gps lon|gps longitude"),
        -180,
        180,
        places=6,
    ),
    Field(
        "name_on_stone",
        "Name on it",
        Sort.LINE,
        several(
            "name|name on stone|name on the stone|names|surname|family name|family|"
            "deceased|person|last name|inscription name"
        ),
        most=160,
    ),
    Field(
        "year_on_stone",
        "Year on it",
        Sort.WHOLE,
        several(
            "year|year on stone|yr|year of death|death year|died|year died|date on stone|dated"
        ),
        1000,
        2100,
    ),
    Field(
        "certainty",
        "How sure",
        Sort.WORD,
        several("certainty|sure|how sure name and year are|confidence"),
    ),
    Field(
        "notes",
        "Notes",
        Sort.TEXT,
        several("note|remarks|remark|comment|comments|description"),
        most=4000,
    ),
)
SURVEY_FIELDS: tuple[Field, ...] = (
    Field(
        "on",
        "Surveyed on",
        Sort.DAY,
        several(
            "surveyed|survey date|date of survey|date surveyed|date|day|inspected|"
            "inspected on|date inspected|inspection date|looked at|last survey|"
            "last surveyed|visited|seen on|day of the look|last seen|last looked at"
        ),
    ),
    Field(
        "signs",
        "Signs",
        Sort.WORDS,
        several(
            "sign|condition|conditions|damage|problems|defects|state|what is seen|"
            "signs seen|issues|problem|what is wrong"
        ),
    ),
    Field(
        "sound",
        "Sound",
        Sort.WORD,
        several("sound when tapped|tapped|tap|ring|tap test|sounding"),
    ),
    Field(
        "lean_degrees",
        "Lean (degrees)",
        Sort.WHOLE,
        several(
            "lean|lean degrees|lean deg|tilt|degrees|lean in degrees|angle|tilt degrees|tilt deg"
        ),
        0,
        90,
    ),
    Field(
        "lean_direction",
        "Lean to",
        Sort.WORD,
        several("lean direction|leans|leans to|direction|direction of lean|tilt direction"),
    ),
    Field(
        "height_above_cm",
        "Height above ground (cm)",
        Sort.LENGTH,
        several("height above ground|above ground|visible height|height above"),
        1,
        1500,
    ),
    Field(
        "depth_sunk_cm",
        "Depth sunk (cm)",
        Sort.LENGTH,
        several("depth sunk|sunk|sunk by|below ground"),
        0,
        300,
    ),
    Field(
        "survey_pieces",
        "Pieces seen",
        Sort.WHOLE,
        ("pieces you can see", "pieces at survey"),
        1,
        200,
    ),
    Field(
        "previous_repair",
        "Earlier repair",
        Sort.LINE,
        several("previous repair|repair|repairs|old repair|previous repairs|earlier repairs"),
        most=250,
    ),
    Field(
        "survey_notes",
        "Notes of the survey",
        Sort.TEXT,
        several("survey notes|survey note|notes on survey|inspection notes|survey remarks"),
        most=4000,
    ),
)
FIELDS = STONE_FIELDS + SURVEY_FIELDS
BY_KEY = {field.key: field for field in FIELDS}
# What a column of a survey is called in its own table where two tables have the same.
SURVEY_COLUMNS = {"survey_pieces": "pieces", "survey_notes": "notes"}
