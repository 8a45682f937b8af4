"""Where stones are drawn when measures are missing, wrong or absurd; any ground is drawn whole."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.look import samples
from workdays.drawing import ground
from workdays.drawing.areas import CARD, CARD_HIGH, draw_areas
from workdays.drawing.ground_facts import GroundFacts, SectionFacts, StoneFacts
from workdays.drawing.ground_layout import ROW_M, lay_out
from workdays.drawing.plane import box_of, nearest


def stone(number: str, **values: object) -> StoneFacts:
    return replace(StoneFacts(number, "tablet", "sound"), **values)  # type: ignore[arg-type]  # test


def drawn(*sections: SectionFacts, room: ground.Room = ground.PAGE) -> ground.Picture:
    return ground.draw(GroundFacts("A", sections), room=room)


def places(picture: ground.Picture) -> dict[str, ground.StonePlace]:
    return {place.facts.number: place for section in picture.sections for place in section.stones}


def row(count: int, *, at: float = 0.0, apart: float = 2.0) -> tuple[StoneFacts, ...]:
    """Return a measured row, to the east."""
    return tuple(
        stone(f"S{n}", row=1, position=n, east_m=at + apart * n, north_m=0.0)
        for n in range(1, count + 1)
    )


def test_a_slip_of_forty_kilometres_shrinks_nothing_and_is_named() -> None:
    honest = row(12)
    slip = replace(honest[4], east_m=40_010.0)
    picture = drawn(SectionFacts("Old", (*honest[:4], slip, *honest[5:])))
    assert picture.cell == ground.PAGE.cell
    assert picture.width < 700
    assert "Measured far from the rest of their section, set aside: S5." in picture.notes
    at = places(picture)
    assert at["S4"].x < at["S5"].x < at["S6"].x


def test_a_stone_far_outside_its_outline_is_set_aside() -> None:
    outline = ((0.0, -5.0), (30.0, -5.0), (30.0, 5.0), (0.0, 5.0))
    stray = stone("Z", east_m=95.0, north_m=0.0)
    picture = drawn(SectionFacts("Old", (*row(12), stray), outline))
    assert "set aside: Z." in picture.notes[0]
    near = stone("Z", east_m=40.0, north_m=0.0)
    assert not drawn(SectionFacts("Old", (*row(12), near), outline)).notes


def test_many_strays_are_counted_not_all_named() -> None:
    strays = tuple(stone(f"Z{n}", east_m=9000.0 * (n + 1), north_m=0.0) for n in range(7))
    picture = drawn(SectionFacts("Old", (*row(30), *strays)))
    assert "Z0, Z1, Z2, Z3, Z4 and 2 more." in picture.notes[0]


def test_a_section_miles_away_is_drawn_beside_the_others() -> None:
    far = tuple(replace(s, number=f"F{s.number}", east_m=(s.east_m or 0) + 5000) for s in row(5))
    picture = drawn(*(SectionFacts(n, row(5)) for n in "AB"), SectionFacts("Far", far))
    assert "The measures of Far lie far from all others: set aside." in picture.notes
    assert picture.cell == ground.PAGE.cell


def test_sections_far_apart_move_together_and_it_is_said() -> None:
    east = tuple(replace(s, number=f"E{s.number}", east_m=(s.east_m or 0) + 900) for s in row(9))
    picture = drawn(SectionFacts("West", row(9)), SectionFacts("East", east))
    assert ground.APART in picture.notes
    assert picture.cell == ground.PAGE.cell
    assert picture.width < 900


def test_measures_copied_down_a_whole_column_are_not_believed() -> None:
    stones = tuple(stone(f"S{n}", row=1, position=n, east_m=1.0, north_m=1.0) for n in range(1, 21))
    picture = drawn(SectionFacts("Old", stones))
    assert picture.notes[0].startswith("20 stones have the same measures")
    xs = [place.x for place in places(picture).values()]
    assert xs == sorted(xs)


def test_two_stones_on_the_same_spot_stand_side_by_side() -> None:
    double = (stone("A", east_m=5.0, north_m=5.0), stone("B", east_m=5.0, north_m=5.0))
    at = places(drawn(SectionFacts("Old", (*row(6), *double))))
    assert at["A"].y == at["B"].y
    assert 0.79 * ground.PAGE.cell <= abs(at["A"].x - at["B"].x) <= ground.PAGE.cell


def test_a_stone_between_measured_ones_stands_where_its_row_leads() -> None:
    stones = list(row(9))
    stones[4] = replace(stones[4], east_m=None, north_m=None)
    picture = drawn(SectionFacts("Old", tuple(stones)))
    at = places(picture)
    assert at["S5"].x == pytest.approx((at["S4"].x + at["S6"].x) / 2, abs=0.2)
    assert "1 stone was not measured: drawn where the row leads." in picture.notes


def test_half_a_measure_is_none() -> None:
    picture = drawn(SectionFacts("Old", (*row(3), stone("H", east_m=70.0))))
    assert [section.title for section in picture.sections] == ["Old", "Old: not measured"]
    assert picture.notes == ("1 stone was not measured: drawn beside the others, by rows.",)


def test_rows_fill_the_outline_of_a_section_that_nobody_measured() -> None:
    outline = ((0.0, 0.0), (30.0, -2.0), (31.0, 12.0), (1.0, 14.0))
    stones = tuple(stone(f"{r}-{p}", row=r, position=p) for r in (1, 2, 3) for p in range(1, 11))
    picture = drawn(SectionFacts("Old", stones, outline))
    edge = box_of([tuple(map(float, p.split(","))) for p in picture.sections[0].points.split()])  # type: ignore[misc]
    at = places(picture)
    assert all(edge.left < p.x < edge.right and edge.top < p.y < edge.bottom for p in at.values())
    assert at["1-1"].y < at["2-1"].y < at["3-1"].y
    assert at["1-1"].x < at["1-2"].x
    assert picture.scale_px > 0


def test_an_outline_without_room_for_its_rows_is_drawn_beside() -> None:
    outline = ((0.0, 0.0), (3.0, 0.0), (3.0, 3.0), (0.0, 3.0))
    stones = tuple(stone(str(p), row=1, position=p) for p in range(1, 31))
    layout = lay_out([SectionFacts("Old", stones, outline)])
    assert not layout.measured


@pytest.mark.parametrize(
    "outline", [((0.0, 0.0),), ((math.nan, 0.0), (1.0, 0.0), (1.0, 1.0)), ((0.0, 0.0), (9.0, 0.0))]
)
def test_an_outline_that_is_none_is_left_out(outline: tuple[tuple[float, float], ...]) -> None:
    picture = drawn(SectionFacts("Old", row(5), outline))
    assert len(picture.sections[0].points.split()) == 4


def test_stones_of_no_known_row_come_last_under_a_question_mark() -> None:
    stones = (stone("A", row=7, position=1), stone("B", row=2, position=1), stone("C"))
    picture = drawn(SectionFacts("Old", stones))
    assert [place.words for place in picture.sections[0].rows] == ["2", "7", "?"]
    at = places(picture)
    assert at["B"].y < at["A"].y < at["C"].y


@pytest.mark.parametrize("position", [0, 30_000])
def test_an_absurd_position_stands_at_the_end_of_its_row(position: int) -> None:
    stones = (*(stone(f"S{n}", row=1, position=n) for n in range(1, 6)),)
    picture = drawn(SectionFacts("Old", (*stones, stone("Z", row=1, position=position))))
    assert picture.width < 600
    assert len({(p.x, p.y) for p in places(picture).values()}) == 6


def test_a_very_long_row_is_folded_and_numbered_once() -> None:
    picture = drawn(
        SectionFacts("Old", tuple(stone(str(n), row=4, position=n) for n in range(1, 101)))
    )
    assert [place.words for place in picture.sections[0].rows] == ["4"]
    assert len({round(p.y) for p in places(picture).values()}) >= 3


def test_rows_of_one_stone_each_stand_in_columns() -> None:
    layout = lay_out([SectionFacts("Old", tuple(stone(str(n), row=n) for n in range(1, 301)))])
    box = box_of(layout.laid[0].feet)
    assert box.height < 300 * ROW_M / 5
    assert box.height / box.width < 4


METRES = st.none() | st.floats(-500, 500) | st.sampled_from([0.0, 4e4, -1e6, math.inf, math.nan])
STONES = st.builds(
    StoneFacts,
    number=st.uuids().map(str),
    type=st.sampled_from([*samples.TYPES, "pillar"]),
    state=st.sampled_from([*samples.STATES, "lost"]),
    row=st.none() | st.integers(0, 5) | st.just(32_767),
    position=st.none() | st.integers(0, 12) | st.just(32_767),
    east_m=METRES,
    north_m=METRES,
)
OUTLINES = st.just(()) | st.lists(
    st.tuples(st.floats(-300, 300), st.floats(-300, 300)), min_size=1, max_size=6
).map(tuple)
GROUNDS = st.lists(
    st.builds(
        SectionFacts,
        name=st.uuids().map(str),
        stones=st.lists(STONES, max_size=25).map(tuple),
        outline=OUTLINES,
    ),
    max_size=4,
).map(tuple)


@settings(max_examples=60, deadline=None)
@given(GROUNDS, st.sampled_from([ground.PAGE, ground.CLOSE, ground.SHEET]))
def test_any_ground_is_drawn_whole_inside_the_picture_nothing_on_the_same_spot(
    sections: tuple[SectionFacts, ...], room: ground.Room
) -> None:
    picture = drawn(*sections, room=room)
    found = [place for section in picture.sections for place in section.stones]
    wanted = [one.number for section in sections for one in section.stones]
    assert sorted(place.facts.number for place in found) == sorted(wanted)
    assert picture.count == len(wanted)
    assert len({(place.x, place.y) for place in found}) == len(found)
    assert all(0 < place.x < picture.width and 0 < place.y < picture.height for place in found)
    for section in picture.sections:
        for pair in section.points.split():
            x, y = map(float, pair.split(","))
            assert 0 <= x <= picture.width
            assert 0 <= y <= picture.height


@settings(max_examples=40, deadline=None)
@given(GROUNDS, st.booleans())
def test_any_ground_has_areas_that_hold_every_stone_and_lie_apart(
    sections: tuple[SectionFacts, ...], asked: bool
) -> None:
    picture = draw_areas(GroundFacts("A", sections), asked=asked)
    assert [area.facts.name for area in picture.areas] == [section.name for section in sections]
    for area, section in zip(picture.areas, sections, strict=True):
        assert len(area.facts.stones) == len(section.stones)
        assert 0 <= area.x <= picture.width - CARD
        assert 0 <= area.y <= picture.height - CARD_HIGH
    for i, one in enumerate(picture.areas):
        for other in picture.areas[i + 1 :]:
            assert abs(one.x - other.x) >= CARD or abs(one.y - other.y) >= CARD_HIGH


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(-50, 50), st.floats(-50, 50)), max_size=30))
def test_gaps_found_by_squares_are_those_found_by_looking_at_all(
    points: list[tuple[float, float]],
) -> None:
    slow = [
        min(
            (max(abs(x - a), abs(y - b)) for j, (a, b) in enumerate(points) if j != i),
            default=math.inf,
        )
        for i, (x, y) in enumerate(points)
    ]
    assert nearest(points) == [gap for gap in slow if gap < math.inf]
