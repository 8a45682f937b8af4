"""What is exported is imported as nothing new: text, days, numbers and signs of any kind."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from tests.workdays.spreadsheets.made import judged, sentences
from workdays.rules.triage import Sign
from workdays.spreadsheets import texts
from workdays.spreadsheets.judging import Outcome, StoneNow
from workdays.spreadsheets.reading import read
from workdays.spreadsheets.words import ALLOWED
from workdays.spreadsheets.writing import to_text, to_workbook

odd = st.text(max_size=30) | st.sampled_from(
    ["=1+1", "'=1+1", "''", "-5", "+1", "@a", "\t=x", "007", "1e5", "a\nb", 'say "no"', "1,5", "½"]
)
none = st.none()


def one_of(field: str) -> st.SearchStrategy[str]:
    return st.sampled_from([key for key in ALLOWED[field] if key != "none"])


looks: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {
        "on": st.dates(date(1980, 1, 1), date(2199, 12, 31)),
        "signs": st.lists(st.sampled_from([sign.value for sign in Sign]), unique=True),
        "sound": one_of("sound"),
        "lean_degrees": none | st.integers(0, 90),
        "lean_direction": none | one_of("lean_direction"),
        "height_above_cm": none | st.integers(0, 3000),
        "depth_sunk_cm": none | st.integers(0, 300),
        "survey_pieces": none | st.integers(1, 200),
        "previous_repair": odd,
        "survey_notes": odd,
    }
)
both = st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000)) | st.just((None, None))
degrees = st.tuples(
    st.decimals(-90, 90, places=6, allow_nan=False),
    st.decimals(-180, 180, places=6, allow_nan=False),
) | st.just((None, None))


@st.composite
def stones(draw: st.DrawFn) -> list[StoneNow]:
    numbers = draw(
        st.lists(odd.filter(lambda text: texts.line(text)), max_size=5, unique_by=texts.line)
    )
    return [
        StoneNow(pk, _values(draw, number), tuple(draw(st.lists(looks, max_size=1))))
        for pk, number in enumerate(numbers, 1)
    ]


def _values(draw: st.DrawFn, number: str) -> dict[str, Any]:
    (east, north), (latitude, longitude) = draw(both), draw(degrees)
    values = {
        "number": number,
        "section": "Old",
        "row": draw(none | st.integers(0, 40_000)),
        "position": draw(none | st.integers(0, 2000)),
        "type": draw(one_of("type")),
        "material": draw(one_of("material")),
        "pieces": draw(st.integers(1, 300)),
        "east_m": east,
        "north_m": north,
        "latitude": latitude,
        "longitude": longitude,
        "measured_how": draw(odd),
        "name_on_stone": draw(odd),
        "year_on_stone": draw(none | st.integers(900, 2100)),
        "certainty": draw(one_of("certainty")),
        "notes": draw(odd),
    }
    for size in ("height_cm", "width_cm", "thickness_cm", "top_width_cm", "die_width_cm"):
        values[size] = draw(none | st.integers(0, 9000))
    return values


def plainest(number: str, **values: Any) -> StoneNow:
    return StoneNow(1, {"number": number, "section": "Old", "type": "tablet"} | values)


@settings(max_examples=100, deadline=None)
@given(stones())
@example([plainest("=1+1", notes="'=HYPERLINK()", name_on_stone="''+x", pieces=1)])
@example(
    [
        plainest(
            "007", east_m=-0.1, north_m=1e-7, latitude=Decimal("-0.000001"), longitude=Decimal(0)
        )
    ]
)
def test_csv_that_was_exported_changes_nothing(ground: list[StoneNow]) -> None:
    found = judged("".join(to_text(ground)).encode(), *ground)
    assert sentences(found) == []
    assert [v.outcome for v in found.verdicts] == [Outcome.SAME] * len(ground)


@settings(max_examples=40, deadline=None)
@given(stones())
def test_a_workbook_that_was_exported_changes_nothing(ground: list[StoneNow]) -> None:
    found = judged(to_workbook(ground), *ground)
    assert sentences(found) == []
    assert [v.outcome for v in found.verdicts] == [Outcome.SAME] * len(ground)


@given(odd)
def test_text_that_begins_like_a_formula_is_harmless_and_comes_back(text: str) -> None:
    safe = texts.harmless(text)
    assert not safe.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))
    assert texts.original(safe) == text


@pytest.mark.parametrize("text", ["=cmd|x", "@SUM(1)", "+1", "-1"])
def test_no_exported_cell_of_text_begins_like_a_formula(text: str) -> None:
    ground = [plainest(text, notes=text, name_on_stone=text, measured_how=text)]
    for octets in ("".join(to_text(ground)).encode(), to_workbook(ground)):
        [row] = read(octets).rows[1:]
        assert [cell for cell in row.cells if isinstance(cell, str) and cell[0] in "=+-@"] == []
