"""A cemetery as areas: counts by state that add up, what was asked for, links with names."""

from dataclasses import replace

from django.template.loader import render_to_string

from tests.look import samples
from tests.look.markup import parsed
from workdays.drawing import areas
from workdays.drawing.ground_facts import GroundFacts


def hill(*, measured: bool = True) -> GroundFacts:
    """Return three sections with links, the stones to clean marked."""
    facts = samples.alder_hill(measured=measured)
    return replace(
        facts,
        sections=tuple(
            replace(
                section,
                href=f"?section={n}",
                stones=tuple(replace(s, marked=s.state == "clean") for s in section.stones),
            )
            for n, section in enumerate(facts.sections, 1)
        ),
    )


def test_the_bars_of_an_area_add_up_to_its_stones() -> None:
    for area in areas.draw_areas(hill(), asked=False).areas:
        assert sum(int(bar.words) for bar in area.bars) == len(area.facts.stones)
        assert area.words == f"{len(area.facts.stones)} stones"
        assert max(bar.full for bar in area.bars) == areas.BAR_HIGH
        assert all(bar.part == bar.full for bar in area.bars)


def test_where_stones_are_asked_for_the_number_says_how_many_are_meant() -> None:
    for area in areas.draw_areas(hill(), asked=True).areas:
        meant = sum(stone.marked for stone in area.facts.stones)
        assert area.words == f"{meant} of {len(area.facts.stones)} stones"
        by_state = {bar.sign.words: bar for bar in area.bars}
        assert by_state["clean"].words == str(meant)
        assert by_state["sound"].part == 0 < by_state["sound"].full


def test_each_area_is_a_link_with_a_name_that_tells_its_counts() -> None:
    picture = areas.draw_areas(hill(), asked=False)
    tree = parsed(render_to_string("workdays/svg/_areas_svg.html", {"picture": picture}))
    links = tree.findall(".//a")
    assert [link.attrib["href"] for link in links] == ["?section=1", "?section=2", "?section=3"]
    assert links[0].attrib["aria-label"].startswith("Old hill: 46 stones; ")
    assert " clean" in links[0].attrib["aria-label"]


def test_areas_without_measures_have_no_scale() -> None:
    picture = areas.draw_areas(hill(measured=False), asked=False)
    assert picture.scale_px == 0
    tree = parsed(render_to_string("workdays/svg/_areas_svg.html", {"picture": picture}))
    assert "N" not in [text.text for text in tree.findall(".//text")]
