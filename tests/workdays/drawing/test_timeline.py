"""The timeline: every piece of work once, none over another, words that fit."""

from dataclasses import replace
from itertools import pairwise

import pytest
from django.template.loader import render_to_string
from hypothesis import given
from hypothesis import strategies as st

from tests.look import samples
from tests.look.markup import parsed
from workdays.drawing import timeline
from workdays.drawing.words import lines, shortened, width_of


def test_every_bar_is_drawn_once_with_its_words() -> None:
    facts = samples.crew_plan()
    svg = parsed(
        render_to_string("workdays/svg/_timeline_svg.html", {"picture": timeline.draw(facts)})
    )
    said = sorted(a.attrib["aria-label"] for a in svg.findall(".//a"))
    assert said == sorted(bar.words for crew in facts.crews for bar in crew.bars)


def test_bars_of_a_crew_do_not_overlap_and_stay_in_the_picture() -> None:
    picture = timeline.draw(samples.crew_plan())
    for crew in picture.crews:
        assert all(crew.top < bar.y and bar.y + bar.height < crew.bottom for bar in crew.bars)
        assert all(bar.x > 0 and bar.x + bar.width < picture.width for bar in crew.bars)
        assert all(a.x + a.width < b.x for a, b in pairwise(crew.bars))


def test_words_in_a_bar_fit_the_bar() -> None:
    for crew in timeline.draw(samples.crew_plan()).crews:
        for bar in crew.bars:
            room = bar.x + bar.width - bar.text_x
            assert width_of(bar.title, 15, bold=True) <= max(room, 0)
            assert all(width_of(line.words, 13.5) <= max(room, 0) for line in bar.lines)
            assert all(line.y < bar.y + bar.height for line in bar.lines)


def test_the_list_says_all_that_the_drawing_had_to_shorten() -> None:
    facts = samples.crew_plan()
    long = replace(facts.crews[0].bars[0], text="Old hill, rows 1 to 9, " * 6, watch=True)
    facts = replace(facts, crews=(replace(facts.crews[0], bars=(long,)),))
    html = render_to_string("workdays/svg/_timeline_list.html", {"picture": timeline.draw(facts)})
    assert long.text in html
    assert "watch" in html


def test_work_outside_the_day_widens_the_picture() -> None:
    late = timeline.BarFacts(1380, 1500, "rake", "Raking")
    facts = timeline.DayFacts("Late", 1320, 1410, (timeline.CrewFacts("Crew 1", bars=(late,)),))
    picture = timeline.draw(facts)
    bar = picture.crews[0].bars[0]
    assert bar.x + bar.width <= picture.width
    assert late.times == "23:00 to 1:00"
    assert [hour.words for hour in picture.hours] == ["22:00", "23:00", "0:00", "1:00"]


def test_a_day_without_crews_is_still_a_picture() -> None:
    html = render_to_string(
        "workdays/svg/_timeline_svg.html",
        {"picture": timeline.draw(timeline.DayFacts("Empty", 540, 540))},
    )
    assert parsed(html).attrib["aria-label"] == "Empty"


def test_a_band_is_cut_to_the_day() -> None:
    facts = replace(samples.crew_plan(), bands=(timeline.BandFacts(0, 1440, "watch", "all day"),))
    picture = timeline.draw(facts)
    (band,) = picture.bands
    assert band.x >= timeline.LEFT
    assert band.x + band.width <= picture.width


def test_hostile_words_stay_words() -> None:
    bar = timeline.BarFacts(540, 900, "rake", "<b>", "</title><script>", href='/x?"')
    facts = timeline.DayFacts("&", 540, 900, (timeline.CrewFacts("<i>", ("<u>",), (bar,)),))
    svg = parsed(
        render_to_string("workdays/svg/_timeline_svg.html", {"picture": timeline.draw(facts)})
    )
    assert svg.find(".//script") is None
    assert [a.attrib["href"] for a in svg.findall(".//a")] == ['/x?"']


@pytest.mark.parametrize(("text", "width"), [("Cleaning", 200), ("Cleaning", 30), ("", 30)])
def test_shortened_text_begins_as_the_text_does(text: str, width: float) -> None:
    cut = shortened(text, width, 15)
    assert text.startswith(cut.rstrip("…"))


@given(st.text(max_size=80), st.floats(1, 300), st.integers(1, 3))
def test_lines_never_pass_their_width_nor_their_number(text: str, width: float, most: int) -> None:
    broken = lines(text, width, 14, most=most)
    assert len(broken) <= most
    assert all(width_of(line, 14) <= width for line in broken)
