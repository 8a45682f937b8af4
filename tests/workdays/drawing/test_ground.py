"""The plan of a cemetery: every stone once, none upon another, small, well formed."""

import gzip
import xml.etree.ElementTree as ET
from dataclasses import replace
from itertools import combinations

import pytest
from django.template.loader import render_to_string

from tests.look import samples
from tests.look.markup import parsed
from workdays.drawing import ground, ground_facts, signs
from workdays.drawing.plane import nearest, spread


def written(picture: ground.Picture) -> ET.Element:
    """Return the SVG as XML."""
    return parsed(render_to_string("workdays/svg/_ground_svg.html", {"picture": picture}))


def places(picture: ground.Picture) -> list[ground.StonePlace]:
    """Return all stones of a picture."""
    return [stone for section in picture.sections for stone in section.stones]


@pytest.mark.parametrize("measured", [True, False])
def test_every_stone_is_drawn_once_as_a_link_with_a_name(measured: bool) -> None:
    facts = samples.alder_hill(measured=measured)
    picture = ground.draw(facts)
    links = written(picture).findall(".//a")
    wanted = [s for section in facts.sections for s in section.stones]
    assert sorted(link.attrib["href"] for link in links) == sorted(s.href for s in wanted)
    assert {link.attrib["aria-label"] for link in links} == {s.words for s in wanted}
    assert all(len(link.findall("use")) == 1 for link in links)


@pytest.mark.parametrize("measured", [True, False])
def test_no_stone_stands_on_another_in_its_section(measured: bool) -> None:
    picture = ground.draw(samples.alder_hill(measured=measured))
    for section in picture.sections:
        for one, other in combinations(section.stones, 2):
            assert (
                abs(one.x - other.x) >= 0.79 * picture.cell
                or abs(one.y - other.y) >= 0.94 * picture.cell
            )


@pytest.mark.parametrize("measured", [True, False])
def test_everything_lies_inside_the_picture(measured: bool) -> None:
    picture = ground.draw(samples.alder_hill(measured=measured))
    for stone in places(picture):
        assert 0 < stone.x < picture.width
        assert picture.cell < stone.y < picture.height


def test_landmarks_lie_inside_with_their_words() -> None:
    picture = ground.draw(samples.alder_hill())
    assert {mark.kind for mark in picture.landmarks} == {"path", "gate", "water", "tree"}
    for mark in picture.landmarks:
        assert 20 <= mark.x <= picture.width - 20
        assert 20 <= mark.y <= picture.height - 20


def test_sections_without_measures_do_not_lie_on_each_other() -> None:
    picture = ground.draw(samples.alder_hill(measured=False))
    boxes = []
    for section in picture.sections:
        xs, ys = zip(*(map(float, p.split(",")) for p in section.points.split()), strict=True)
        boxes.append((min(xs), min(ys), max(xs), max(ys)))
    for a, b in combinations(boxes, 2):
        assert a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def test_measured_stones_keep_their_directions() -> None:
    stones = tuple(
        ground_facts.StoneFacts(n, "tablet", "sound", east_m=e, north_m=north)
        for n, e, north in [("south-west", 0, 0), ("south-east", 30, 0), ("north-east", 30, 12)]
    )
    picture = ground.draw(
        ground_facts.GroundFacts("A", (ground_facts.SectionFacts("Only", stones),))
    )
    at = {place.facts.number: place for place in places(picture)}
    assert at["south-west"].x < at["south-east"].x
    assert at["north-east"].y < at["south-east"].y
    across = at["south-east"].x - at["south-west"].x
    up = at["south-east"].y - at["north-east"].y
    assert across / up == pytest.approx(30 / 12, rel=0.01)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    stones = tuple(
        ground_facts.StoneFacts(str(n), "tablet", "sound", east_m=2.0 * n, north_m=0)
        for n in range(9)
    )
    picture = ground.draw(
        ground_facts.GroundFacts("A", (ground_facts.SectionFacts("Only", stones),))
    )
    first, last = places(picture)[0], places(picture)[-1]
    px_per_m = (last.x - first.x) / 16
    feet = int(picture.scale_words.removesuffix(" ft"))
    assert picture.scale_px == pytest.approx(feet * 0.3048 * px_per_m, rel=0.02)


def test_nothing_measured_means_no_scale_and_it_is_said() -> None:
    picture = ground.draw(samples.alder_hill(measured=False))
    assert picture.scale_px == 0
    html = render_to_string("workdays/svg/_ground.html", {"picture": picture})
    assert "not to scale" in html


def test_a_half_measured_section_keeps_all_its_stones() -> None:
    facts = samples.alder_hill()
    first = facts.sections[0]
    half = tuple(
        replace(s, east_m=None, north_m=None) if i % 2 else s for i, s in enumerate(first.stones)
    )
    picture = ground.draw(replace(facts, sections=(replace(first, stones=half),)))
    assert len(places(picture)) == len(first.stones)


@pytest.mark.parametrize(
    "facts",
    [
        ground_facts.GroundFacts("Empty"),
        ground_facts.GroundFacts("One bare section", (ground_facts.SectionFacts("Bare"),)),
        ground_facts.GroundFacts(
            "One stone",
            (ground_facts.SectionFacts("A", (ground_facts.StoneFacts("1", "tablet", "clean"),)),),
        ),
        ground_facts.GroundFacts(
            "All on one spot",
            (
                ground_facts.SectionFacts(
                    "A",
                    tuple(
                        ground_facts.StoneFacts(str(n), "flush", "reset", east_m=5, north_m=5)
                        for n in range(12)
                    ),
                ),
            ),
        ),
    ],
)
def test_poor_ground_is_still_a_picture(facts: ground_facts.GroundFacts) -> None:
    picture = ground.draw(facts)
    assert written(picture).attrib["aria-label"] == facts.title
    assert picture.width >= 330
    assert len({(p.x, p.y) for p in places(picture)}) == len(places(picture))


def test_hostile_words_stay_words() -> None:
    stone = ground_facts.StoneFacts(
        '1"><script>', "tablet", "sound", note="</title><b>", href="/s/?a&b"
    )
    facts = ground_facts.GroundFacts(
        '<&"', (ground_facts.SectionFacts("<svg onload=x>", (stone,)),)
    )
    tree = written(ground.draw(facts))
    assert tree.find(".//script") is None
    assert tree.findall(".//text")[0].text == "<svg onload=x>"


def test_five_hundred_stones_stay_below_sixty_kilobytes_on_the_wire() -> None:
    stones = samples.rows_of_stones(20, 30, at=(0, 0), lean=1.0, seed=5, measured=True)[:500]
    picture = ground.draw(
        ground_facts.GroundFacts("Large", (ground_facts.SectionFacts("Only", stones),))
    )
    assert len(places(picture)) == 500
    html = render_to_string("workdays/svg/_ground.html", {"picture": picture})
    assert "style=" not in html
    assert len(gzip.compress(html.encode())) < 60_000


def test_a_faded_stone_a_line_and_badges_are_drawn() -> None:
    stones = (
        ground_facts.StoneFacts("1", "tablet", "clean", marked=True, crews=("Crew 1", "Crew 2")),
        ground_facts.StoneFacts("2", "tablet", "reset", position=2, faded=True),
    )
    facts = ground_facts.GroundFacts(
        "A",
        (ground_facts.SectionFacts("Only", stones, crews=("Crew 2",), note="raking"),),
        crews=tuple(ground_facts.CrewFacts(f"Crew {n}") for n in (1, 2, 3)),
    )
    picture = ground.draw(facts)
    tree = written(picture)
    first, second = (g for g in tree.findall(".//g") if g.attrib.get("role") == "img")
    assert [use.attrib["href"] for use in first.findall("use")] == [
        "#ground-tablet-clean",
        "#ground-marked",
        "#ground-crew-0",
        "#ground-crew-1",
    ]
    assert first.attrib["aria-label"] == "Stone 1: tablet, clean, Crew 1, Crew 2"
    assert second.attrib["opacity"] == ".6"
    assert "opacity" not in first.attrib
    assert [crew.name for _, crew in picture.badges] == ["Crew 1", "Crew 2"]
    assert picture.sections[0].title == "Only · raking"
    assert [number for _, number in picture.sections[0].badges] == [1]


def test_crews_are_told_apart_by_shape_and_by_number() -> None:
    badges = [signs.badge(n, f"Crew {n + 1}") for n in range(8)]
    assert len({badge.d for badge in badges}) == 8
    assert [badge.word for badge in badges] == ["1", "2", "3", "4", "5", "6", "7", "8"]
    assert signs.badge(3, "Anna").word == "An"


def test_spread_moves_no_point_that_has_room() -> None:
    points = [(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]
    assert spread(points, width=30, height=30) == points
    assert nearest(points) == [100, 100, 100]
    assert nearest([(1.0, 1.0)]) == []
