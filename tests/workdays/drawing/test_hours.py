"""The weather by the hour: each verdict as word and shape, values where they belong."""

import itertools
from dataclasses import replace

import pytest
from django.template.loader import render_to_string

from tests.look import samples
from tests.look.markup import parsed
from workdays.drawing import hours, season
from workdays.drawing.words import width_of


def written(facts: hours.WeatherFacts) -> str:
    """Return the SVG."""
    return render_to_string("workdays/svg/_hours_svg.html", {"picture": hours.draw(facts)})


def test_every_cell_has_its_word() -> None:
    facts = samples.weather()
    texts = [t.text for t in parsed(written(facts)).findall(".//text")]
    for verdict in ("on", "watch", "off"):
        wanted = [c for strip in facts.strips for c in strip.cells if c.verdict == verdict]
        assert texts.count(verdict) == len(wanted) > 0


def test_watch_is_hatched_and_off_is_crossed() -> None:
    facts = samples.weather()
    cells = [cell.verdict for strip in facts.strips for cell in strip.cells]
    html = written(facts)
    assert html.count("url(#weather-hatch)") == cells.count("watch")
    assert html.count('class="cross"') == cells.count("off")


def test_warmer_is_higher_and_the_limit_lies_between() -> None:
    picture = hours.draw(samples.weather())
    y = {knot.at: knot.y for knot in picture.knots}
    limit = picture.limits[0].y
    assert y["6:00"] is not None
    assert y["14:00"] is not None
    assert y["14:00"] < limit < y["6:00"]
    assert y["9:00"] == limit


def test_no_value_is_written_on_a_limit_line_or_on_the_hours() -> None:
    picture = hours.draw(samples.weather())
    for knot in picture.knots:
        assert not knot.label_y - 12 < picture.limits[0].y < knot.label_y
        assert knot.label_y < picture.hour_y - 14


def test_an_unknown_hour_breaks_the_curve_and_says_so() -> None:
    facts = samples.weather()
    gap = tuple(replace(h, value=None) if i == 4 else h for i, h in enumerate(facts.hours))
    picture = hours.draw(replace(facts, hours=gap))
    assert len(picture.curves) == 2
    assert picture.knots[4].words == "?"
    assert picture.rows[4].value == "unknown"


def test_limits_close_to_each_other_keep_their_words_apart() -> None:
    limits = tuple(hours.LimitFacts(v, f"limit {v}") for v in (40.0, 40.5, 41.0))
    picture = hours.draw(replace(samples.weather(), limits=limits))
    marks = [limit.label_y for limit in picture.limits]
    assert all(b - a >= 14 for a, b in itertools.pairwise(marks))


@pytest.mark.parametrize(
    "name", ["Raking and debris", "Recording of inscriptions", "Levelling of the paths and kerbs"]
)
def test_the_name_of_a_kind_of_work_is_not_cut(name: str) -> None:
    facts = samples.weather()
    picture = hours.draw(replace(facts, strips=(replace(facts.strips[0], name=name),)))
    strip = picture.strips[0]
    assert " ".join(line for _, line in strip.name) == name
    assert all(strip.y < y < strip.y + picture.strip for y, _ in strip.name)
    assert all(width_of(line, 18, bold=True) < picture.left for _, line in strip.name)
    assert picture.knots[-1].x < picture.right < picture.width


def test_cells_stand_side_by_side() -> None:
    for strip in hours.draw(samples.weather()).strips:
        cells = strip.cells
        assert all(a.x + a.width < b.x for a, b in itertools.pairwise(cells))


def test_a_strip_with_too_few_hours_is_refused() -> None:
    facts = samples.weather()
    with pytest.raises(ValueError, match="one verdict for each hour"):
        hours.draw(replace(facts, hours=facts.hours[:3]))


def test_three_days_of_hours_grow_wider_and_not_thinner() -> None:
    many = tuple(hours.HourFacts(f"{i % 24}:00", 50.0 + i % 5) for i in range(72))
    picture = hours.draw(hours.WeatherFacts("Three days", many))
    steps = [b.x - a.x for a, b in zip(picture.knots, picture.knots[1:], strict=False)]
    assert min(steps) >= hours.NARROWEST_HOUR - 0.2
    assert picture.knots[-1].x < picture.width


def test_nothing_known_is_still_a_picture() -> None:
    assert parsed(written(hours.WeatherFacts("Nothing", ()))).attrib["aria-label"] == "Nothing"


def test_the_table_gives_each_reason() -> None:
    html = render_to_string(
        "workdays/svg/_hours_table.html", {"picture": hours.draw(samples.weather())}
    )
    assert html.count("because off") == 5


def test_bars_of_the_season_are_as_long_as_the_work() -> None:
    picture = season.draw(samples.season_bars(), title="Spring")
    assert [bar.length for bar in picture.bars] == [22.0, 100.0, 17.1, 0.0]
    html = render_to_string("workdays/svg/_season.html", {"picture": picture})
    assert "41 stones" in html
    assert "style=" not in html


def test_no_work_yet_draws_bars_of_no_length() -> None:
    picture = season.draw((season.BarFacts("Raking", 0, "none yet"),), title="Spring")
    assert picture.bars[0].length == 0
    with pytest.raises(ValueError, match="below zero"):
        season.draw((season.BarFacts("Raking", -1, "?"),), title="Spring")
