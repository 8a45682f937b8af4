"""Likely homes of a loose piece: what helps, what rules out, in which order."""

from dataclasses import replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workdays.rules.homes import (
    LIKELY_FROM,
    Broken,
    Clue,
    Piece,
    Says,
    compare,
    homes,
    tolerance_cm,
)
from workdays.rules.triage import Sign

PIECE = Piece(thickness_cm=7.5, material="marble", letters="KAN", place_m=(10.0, 10.0), section=1)
STONE = Broken(
    stone=1,
    number="A1",
    type="tablet",
    signs=frozenset({Sign.LOOSE_PIECES}),
    thickness_cm=7,
    material="marble",
    texts=("M. KANE",),
    place_m=(10.0, 12.0),
    section=1,
)


def clue(about: str, piece: Piece = PIECE, stone: Broken = STONE) -> Clue:
    (found,) = [one for one in compare(piece, stone).clues if one.about == about]
    return found


def test_everything_that_agrees_is_said_with_its_measure() -> None:
    home = compare(PIECE, STONE)
    assert [one.sentence for one in home.clues] == [
        "The last look saw pieces loose or missing.",
        "The piece is 7.5 cm thick, the stone 7 cm: within 1 cm.",
        "Both are marble.",
        "“KAN” can stand in “M. KANE”: 3 letters agree.",
        "It lay 2 m away.",
    ]
    assert {one.says for one in home.clues} == {Says.FOR}
    assert home.points == 2 + 3 + 2 + 2 + 3
    assert home.likely


def test_only_a_stone_that_misses_a_part_is_proposed() -> None:
    whole = replace(STONE, signs=frozenset({Sign.CRACKS}), stone=2)
    never_seen = replace(STONE, signs=frozenset(), stone=3)
    assert [home.stone for home in homes(PIECE, [whole, STONE, never_seen])] == [1]


@pytest.mark.parametrize(
    ("signs", "noted", "seen", "points"),
    [
        ({Sign.BROKEN_THROUGH}, 1, None, 1),
        ({Sign.LOOSE_PIECES, Sign.BROKEN_THROUGH}, 1, None, 2),
        (set(), 3, 2, 2),
        ({Sign.BROKEN_THROUGH}, 3, 3, 1),
    ],
)
def test_what_the_last_look_saw_says_whether_a_part_is_missing(
    signs: set[Sign], noted: int, seen: int | None, points: int
) -> None:
    stone = replace(STONE, signs=frozenset(signs), pieces_noted=noted, pieces_seen=seen)
    assert clue("missing", stone=stone).points == points


@pytest.mark.parametrize(
    ("piece_cm", "stone_cm", "says", "points"),
    [
        (7.0, 7, Says.FOR, 3),
        (7.5, 7, Says.FOR, 3),
        (8.0, 7, Says.FOR, 2),
        (8.1, 7, Says.RULES_OUT, 0),
        (6.0, 7, Says.FOR, 2),
        (5.9, 7, Says.RULES_OUT, 0),
        (17.9, 20, Says.RULES_OUT, 0),
        (18.0, 20, Says.FOR, 2),
        (None, 7, Says.NOTHING, 0),
        (7.0, None, Says.NOTHING, 0),
    ],
)
def test_a_thickness_agrees_within_a_tenth_and_at_least_a_centimetre(
    piece_cm: float | None, stone_cm: float | None, says: Says, points: int
) -> None:
    found = clue(
        "thickness", replace(PIECE, thickness_cm=piece_cm), replace(STONE, thickness_cm=stone_cm)
    )
    assert (found.says, found.points) == (says, points)


def test_a_stone_that_gets_thinner_upwards_can_have_lost_a_thinner_piece_but_no_thicker() -> None:
    obelisk = replace(STONE, type="obelisk", thickness_cm=48)
    assert clue("thickness", replace(PIECE, thickness_cm=20), obelisk).says is Says.NOTHING
    assert clue("thickness", replace(PIECE, thickness_cm=60), obelisk).says is Says.RULES_OUT
    assert (
        clue("thickness", replace(PIECE, thickness_cm=20), replace(STONE, thickness_cm=48)).says
        is Says.RULES_OUT
    )


@pytest.mark.parametrize(
    ("piece", "stone", "says", "points"),
    [
        ("marble", "marble", Says.FOR, 2),
        ("unknown", "marble", Says.NOTHING, 0),
        ("marble", "unknown", Says.NOTHING, 0),
        ("unknown", "unknown", Says.NOTHING, 0),
        ("marble", "limestone", Says.AGAINST, -3),
        ("limestone", "marble", Says.AGAINST, -3),
        ("marble", "slate", Says.RULES_OUT, 0),
    ],
)
def test_another_material_rules_out_unless_the_two_look_alike(
    piece: str, stone: str, says: Says, points: int
) -> None:
    found = clue("material", replace(PIECE, material=piece), replace(STONE, material=stone))
    assert (found.says, found.points) == (says, points)


def test_a_material_that_looks_alike_stays_far_down_and_is_not_likely() -> None:
    alike = replace(STONE, stone=2, material="limestone")
    bare = replace(STONE, stone=3, texts=(), place_m=None, section=2)
    assert [home.stone for home in homes(PIECE, [alike, bare, STONE])] == [1, 2, 3]
    assert not compare(PIECE, alike).likely


@pytest.mark.parametrize(
    ("letters", "texts", "said"),
    [
        ("", ("M. KANE",), "no letters"),
        ("KA", ("M. KANE",), "say little"),
        ("KAN", (), "Nobody has noted"),
        ("XYZ", ("M. KANE",), "may be what the stone has lost"),
    ],
)
def test_letters_that_do_not_agree_neither_help_nor_hurt(
    letters: str, texts: tuple[str, ...], said: str
) -> None:
    found = clue("letters", replace(PIECE, letters=letters), replace(STONE, texts=texts))
    assert (found.says, found.points) == (Says.NOTHING, 0)
    assert said in found.sentence


@pytest.mark.parametrize(
    ("north", "points"), [(10.0, 3), (13.0, 3), (13.1, 2), (20.0, 2), (40.0, 1), (40.1, 0)]
)
def test_nearer_is_likelier_and_far_rules_nothing_out(north: float, points: int) -> None:
    found = clue("distance", stone=replace(STONE, place_m=(10.0, north)))
    assert found.points == points
    assert found.says is (Says.FOR if points else Says.NOTHING)


def test_a_piece_at_the_foot_of_the_stone_lay_within_a_metre() -> None:
    found = clue("distance", stone=replace(STONE, place_m=(10.0, 10.2)))
    assert found.sentence == "It lay within a metre of the stone."


def test_without_measured_places_the_section_says_a_little() -> None:
    unmeasured = replace(PIECE, place_m=None)
    assert clue("distance", unmeasured).sentence == "It lay in the same section."
    assert clue("distance", unmeasured, replace(STONE, section=2)).says is Says.NOTHING
    assert clue("distance", replace(unmeasured, section=None)).says is Says.NOTHING


def test_a_refused_stone_is_never_proposed_again() -> None:
    assert homes(PIECE, [STONE], refused={STONE.stone}) == []


PIECES = st.builds(
    Piece,
    thickness_cm=st.none() | st.floats(1, 30),
    material=st.sampled_from(["marble", "limestone", "slate", "unknown"]),
    letters=st.text(alphabet="AB[.]/ ", max_size=8),
    place_m=st.none() | st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
    section=st.none() | st.integers(1, 2),
)
STONES = st.builds(
    Broken,
    stone=st.integers(1, 30),
    number=st.sampled_from(["A1", "a1", "B2", "C3"]),
    type=st.sampled_from(["tablet", "obelisk"]),
    signs=st.frozensets(st.sampled_from([Sign.LOOSE_PIECES, Sign.BROKEN_THROUGH, Sign.CRACKS])),
    pieces_noted=st.integers(1, 3),
    pieces_seen=st.none() | st.integers(1, 3),
    thickness_cm=st.none() | st.integers(1, 30),
    material=st.sampled_from(["marble", "limestone", "slate", "unknown"]),
    texts=st.tuples(st.text(alphabet="AB[.] ", max_size=8)),
    place_m=st.none() | st.tuples(st.floats(-50, 50), st.floats(-50, 50)),
    section=st.none() | st.integers(1, 2),
)
MANY = st.lists(STONES, max_size=6, unique_by=lambda stone: stone.stone)


@settings(deadline=None)
@given(PIECES, MANY, st.frozensets(st.integers(1, 30)), st.randoms())
def test_homes_keep_their_order_whatever_the_order_of_the_stones(
    piece: Piece, stones: list[Broken], refused: frozenset[int], dice: Random
) -> None:
    found = homes(piece, stones, refused=refused)
    mixed = list(stones)
    dice.shuffle(mixed)
    assert homes(piece, mixed, refused=refused) == found
    assert [home.points for home in found] == sorted((home.points for home in found), reverse=True)


@settings(deadline=None)
@given(PIECES, MANY, st.frozensets(st.integers(1, 30)))
def test_homes_are_broken_within_tolerance_of_a_material_that_can_be_and_not_refused(
    piece: Piece, stones: list[Broken], refused: frozenset[int]
) -> None:
    by_id = {stone.stone: stone for stone in stones}
    for home in homes(piece, stones, refused=refused):
        stone = by_id[home.stone]
        assert home.stone not in refused
        fewer = stone.pieces_seen is not None and stone.pieces_seen < stone.pieces_noted
        assert fewer or stone.signs & {Sign.LOOSE_PIECES, Sign.BROKEN_THROUGH}
        assert "slate" not in {piece.material, stone.material} - {"unknown"} or (
            piece.material == stone.material or "unknown" in (piece.material, stone.material)
        )
        if piece.thickness_cm and stone.thickness_cm and stone.type == "tablet":
            most = tolerance_cm(stone.thickness_cm)
            assert abs(piece.thickness_cm - stone.thickness_cm) <= most
        assert len(home.clues) == 5
        assert all(one.sentence.endswith(".") for one in home.clues)
        assert not home.likely or home.points >= LIKELY_FROM


@settings(deadline=None)
@given(PIECES, STONES)
def test_what_is_unknown_neither_helps_nor_hurts(piece: Piece, stone: Broken) -> None:
    bare = Piece()
    nothing = [one for one in compare(bare, stone).clues if one.about != "missing"]
    assert all((one.says, one.points) == (Says.NOTHING, 0) for one in nothing)
    unsaid = replace(
        stone, thickness_cm=None, material="unknown", texts=(), place_m=None, section=None
    )
    left = [one for one in compare(piece, unsaid).clues if one.about != "missing"]
    assert all((one.says, one.points) == (Says.NOTHING, 0) for one in left)
