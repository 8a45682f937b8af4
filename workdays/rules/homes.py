"""Propose where a loose piece belongs: among broken stones that miss a part, the likeliest first.

A proposal is no more than a reason to carry a tape and a picture to the stone: a person judges the
fit. What is unknown neither helps nor hurts. A pair that somebody refused is not proposed again.
"""

from collections.abc import Collection, Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from math import hypot

from workdays.rules.lettering import LEAST_LETTERS, best_match, rows_of_piece, says_little
from workdays.rules.published import COMMON_PRACTICE
from workdays.rules.triage import Sign
from workdays.rules.units import plain

# The tolerance of a thickness is common practice, no source: a slab sawn or split by hand varies
# by about a tenth over its width, weathering takes the edges, and stones are noted in whole cm.
TOLERANCE_SHARE = 0.1
LEAST_TOLERANCE_CM = 1.0
# These get thinner upwards: a piece may be thinner than what was measured, but not thicker.
TAPERED = frozenset({"obelisk", "pedestal", "other"})
# Weathered, they are easily taken for one another.
LOOK_ALIKE = (
    frozenset({"marble", "limestone"}),
    frozenset({"limestone", "sandstone"}),
    frozenset({"limestone", "concrete"}),
    frozenset({"sandstone", "concrete"}),
)
UNKNOWN = "unknown"
LIKELY_FROM = 5
SOURCE = COMMON_PRACTICE.words
MATERIAL_WORDS = {"concrete": "cast stone", "metal": "cast metal"}


class Says(StrEnum):
    """What one clue says of a pair of piece and stone."""

    FOR = "for"
    NOTHING = "nothing"
    AGAINST = "against"
    RULES_OUT = "rules_out"


@dataclass(frozen=True, slots=True)
class Clue:
    """One reason for or against a home, in a sentence; ``about`` names what was compared."""

    about: str
    says: Says
    sentence: str
    points: int = 0


@dataclass(frozen=True, slots=True)
class Piece:
    """What is known of a loose piece. Place in metres from the origin; None: not measured."""

    thickness_cm: float | None = None
    material: str = UNKNOWN
    letters: str = ""
    place_m: tuple[float, float] | None = None
    section: int | None = None


@dataclass(frozen=True, slots=True)
class Broken:
    """What is known of a stone; ``signs`` are those of its last survey, none: never surveyed.

    ``pieces_noted`` is how many parts the stone is known to have, ``pieces_seen`` how many the
    last survey saw. ``texts`` are lines read on it, its name and its year.
    """

    stone: int
    number: str
    type: str = "other"
    signs: frozenset[Sign] = frozenset()
    pieces_noted: int = 1
    pieces_seen: int | None = None
    thickness_cm: float | None = None
    material: str = UNKNOWN
    texts: tuple[str, ...] = ()
    place_m: tuple[float, float] | None = None
    section: int | None = None


@dataclass(frozen=True, slots=True)
class Home:
    """A stone beside a piece, with what speaks for and against it."""

    stone: int
    number: str
    clues: tuple[Clue, ...] = field(default=())

    @property
    def points(self) -> int:
        """Return what the clues add up to; only the order of homes rests on it."""
        return sum(clue.points for clue in self.clues)

    @property
    def possible(self) -> bool:
        """Return whether no clue rules it out."""
        return _can_be(self.clues)

    @property
    def likely(self) -> bool:
        """Return whether enough speaks for it to show it at the stone, too."""
        against = any(clue.says is Says.AGAINST for clue in self.clues)
        return self.possible and not against and self.points >= LIKELY_FROM


def homes(piece: Piece, stones: Iterable[Broken], *, refused: Collection[int] = ()) -> list[Home]:
    """Return the homes that nothing rules out, the likeliest first, equal ones by number."""
    found = (
        compare(piece, stone)
        for stone in stones
        if stone.stone not in refused and _can_be(_hard(piece, stone))
    )
    return sorted(found, key=lambda home: (-home.points, home.number.casefold(), home.stone))


def compare(piece: Piece, stone: Broken) -> Home:
    """Return everything that speaks for or against a piece belonging to a stone."""
    clues = (*_hard(piece, stone), _letters(piece, stone), _distance(piece, stone))
    return Home(stone.stone, stone.number, clues)


def _hard(piece: Piece, stone: Broken) -> tuple[Clue, ...]:
    """Return the clues that can rule a home out; letters, which take longer, never do."""
    return _missing(stone), _thickness(piece, stone), _material(piece, stone)


def _can_be(clues: Iterable[Clue]) -> bool:
    return all(clue.says is not Says.RULES_OUT for clue in clues)


def tolerance_cm(thickness_cm: float) -> float:
    """Return how far a piece may differ from a stone of this thickness."""
    return max(LEAST_TOLERANCE_CM, thickness_cm * TOLERANCE_SHARE)


def _missing(stone: Broken) -> Clue:
    seen, noted = stone.pieces_seen, stone.pieces_noted
    if seen is not None and seen < noted:
        said = f"{noted} pieces are noted, the last look saw {seen}: a part is missing."
        return Clue("missing", Says.FOR, said, 2)
    if Sign.LOOSE_PIECES in stone.signs:
        return Clue("missing", Says.FOR, "The last look saw pieces loose or missing.", 2)
    if Sign.BROKEN_THROUGH in stone.signs:
        said = "It is broken through; nobody noted whether all of it is there."
        return Clue("missing", Says.FOR, said, 1)
    return Clue("missing", Says.RULES_OUT, "As far as anybody has noted, nothing of it is missing.")


def _thickness(piece: Piece, stone: Broken) -> Clue:
    if piece.thickness_cm is None or stone.thickness_cm is None:
        whose = "piece" if piece.thickness_cm is None else "stone"
        return Clue("thickness", Says.NOTHING, f"The thickness of the {whose} is not measured.")
    more = piece.thickness_cm - stone.thickness_cm
    most = tolerance_cm(stone.thickness_cm)
    both = (
        f"{plain(round(piece.thickness_cm, 1))} cm thick, the stone {plain(stone.thickness_cm)} cm"
    )
    if abs(more) <= most:
        points = 3 if abs(more) <= most / 2 else 2
        return Clue("thickness", Says.FOR, f"The piece is {both}: within {plain(most)} cm.", points)
    if more < 0 and stone.type in TAPERED:
        said = f"The piece is {both}, but such a stone can be thinner further up."
        return Clue("thickness", Says.NOTHING, said)
    said = f"The piece is {both}: more than {plain(most)} cm apart."
    return Clue("thickness", Says.RULES_OUT, said)


def _material(piece: Piece, stone: Broken) -> Clue:
    mine, other = _material_words(piece.material), _material_words(stone.material)
    if UNKNOWN in (piece.material, stone.material):
        whose = "piece" if piece.material == UNKNOWN else "stone"
        return Clue("material", Says.NOTHING, f"The material of the {whose} is not known.")
    if piece.material == stone.material:
        return Clue("material", Says.FOR, f"Both are {mine}.", 2)
    if frozenset({piece.material, stone.material}) in LOOK_ALIKE:
        said = f"The piece is noted as {mine}, the stone as {other}; weathered, they look alike."
        return Clue("material", Says.AGAINST, said, -3)
    return Clue("material", Says.RULES_OUT, f"The piece is {mine}, the stone {other}.")


def _material_words(material: str) -> str:
    return MATERIAL_WORDS.get(material, material)


def _letters(piece: Piece, stone: Broken) -> Clue:
    if not rows_of_piece(piece.letters):
        return Clue("letters", Says.NOTHING, "The piece bears no letters that were noted.")
    if says_little(piece.letters):
        said = f"Fewer than {LEAST_LETTERS} letters of a line are sure: they say little."
        return Clue("letters", Says.NOTHING, said)
    if not stone.texts:
        return Clue("letters", Says.NOTHING, "Nobody has noted what the stone says.")
    match = best_match(piece.letters, stone.texts)
    if match is None:
        said = "Its letters are not in what was read there; they may be what the stone has lost."
        return Clue("letters", Says.NOTHING, said)
    said = f"“{match.piece_line}” can stand in “{match.text}”: {match.sure} letters agree."
    return Clue("letters", Says.FOR, said, min(2 * match.sure - 4, 6))


def _distance(piece: Piece, stone: Broken) -> Clue:
    if piece.place_m is not None and stone.place_m is not None:
        (east, north), (stone_east, stone_north) = piece.place_m, stone.place_m
        return _apart(hypot(east - stone_east, north - stone_north))
    if piece.section is None or stone.section is None:
        return Clue("distance", Says.NOTHING, "Nobody noted how far it lay from the stone.")
    if piece.section == stone.section:
        return Clue("distance", Says.FOR, "It lay in the same section.", 1)
    return Clue("distance", Says.NOTHING, "It lay in another section; pieces are carried about.")


def _apart(metres: float) -> Clue:
    points = next((points for most, points in ((3, 3), (10, 2), (30, 1)) if metres <= most), 0)
    if points:
        away = f"{plain(round(metres, 1))} m away" if metres >= 1 else "within a metre of the stone"
        return Clue("distance", Says.FOR, f"It lay {away}.", points)
    said = f"It lay {plain(round(metres))} m away; pieces are carried about."
    return Clue("distance", Says.NOTHING, said)
