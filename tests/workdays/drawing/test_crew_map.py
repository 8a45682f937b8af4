"""The little map of a crew: numbers in the order of work, at their stones, on the paper."""

from itertools import combinations

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from workdays.drawing.crew_map import APART, CrewMapFacts, Picture, StopFacts, draw
from workdays.drawing.ground_facts import SectionFacts, StoneFacts

OUTLINE = ((0.0, 0.0), (20.0, 0.0), (20.0, 10.0), (0.0, 10.0))


def stone(number: str, east_m: float | None = None, north_m: float | None = None) -> StoneFacts:
    return StoneFacts(number, "tablet", "", row=1, position=1, east_m=east_m, north_m=north_m)


def hill(*stones: StoneFacts, name: str = "Old hill") -> SectionFacts:
    return SectionFacts(name, stones, OUTLINE)


def stops(*numbers: str, section: str = "Old hill") -> tuple[StopFacts, ...]:
    return tuple(StopFacts(n, section, number) for n, number in enumerate(numbers, 1))


def made(facts: CrewMapFacts) -> Picture:
    picture = draw(facts)
    assert picture is not None
    return picture


def test_stones_stand_to_scale_with_north_up_and_are_numbered_in_order() -> None:
    section = hill(stone("A-1", 2, 2), stone("A-2", 12, 2), stone("A-3", 2, 8), stone("A-4", 9, 9))
    picture = made(CrewMapFacts("Map", (section,), stops("A-3", "A-1", "A-2")))
    assert [stop.words for stop in picture.stops] == ["1", "2", "3"]
    third, first, second = picture.stops
    metre = (second.foot_x - first.foot_x) / 10
    assert round(first.foot_y - third.foot_y, 1) == round(6 * metre, 1)
    assert picture.scale_px == round(float(picture.scale_words.removesuffix(" m")) * metre, 1)
    assert picture.dots.count("M") == 1  # A-4 is another's
    assert len(picture.way.split()) == 3
    assert picture.notes == ()


def test_two_jobs_on_one_stone_share_a_label_and_a_whole_section_is_its_middle() -> None:
    section = hill(stone("A-1", 2, 2))
    facts = CrewMapFacts("Map", (section,), (*stops("A-1", "A-1"), StopFacts(3, "Old hill")))
    one, whole = made(facts).stops
    assert (one.words, whole.words) == ("1, 2", "3")
    assert one.width > whole.width
    assert whole.foot_x > one.foot_x


def test_nothing_to_do_or_a_stone_of_no_section_draws_no_map() -> None:
    assert draw(CrewMapFacts("Map")) is None
    assert draw(CrewMapFacts("Map", (hill(stone("A-1", 2, 2)),))) is None
    assert draw(CrewMapFacts("Map", (hill(),), stops("B-9"))) is None


def test_what_was_not_measured_is_said_and_has_no_scale() -> None:
    section = SectionFacts("Old hill", (stone("A-1"), stone("A-2")))
    picture = made(CrewMapFacts("Map", (section,), stops("A-2")))
    assert picture.scale_px == 0
    assert picture.notes == ("Drawn by rows and positions, not to scale.",)


def test_sections_far_apart_are_moved_together_and_that_is_said() -> None:
    far = SectionFacts("Far end", (stone("F-1", 900, 2),), tuple((x + 900, y) for x, y in OUTLINE))
    walk = (*stops("A-1"), *stops("F-1", section="Far end"))
    picture = made(CrewMapFacts("Map", (hill(stone("A-1", 2, 2)), far), walk))
    assert APART in picture.notes
    assert len(picture.sections) == 2


PLACES = st.tuples(st.floats(0, 20), st.floats(0, 10))


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.lists(PLACES, min_size=1, max_size=14))
def test_no_label_covers_another_or_leaves_the_paper(places: list[tuple[float, float]]) -> None:
    stones = [stone(f"A-{n}", *place) for n, place in enumerate(places)]
    picture = made(CrewMapFacts("Map", (hill(*stones),), stops(*(s.number for s in stones))))
    for one, other in combinations(picture.stops, 2):
        apart = abs(one.x - other.x) >= (one.width + other.width) / 2 or abs(one.y - other.y) >= 22
        assert apart
    for label in picture.stops:
        assert picture.left <= label.left
        assert label.left + label.width <= picture.right
        assert label.top >= 0
        assert label.foot_y <= picture.height
