"""What every page promises: styles for all that is emitted, contrast, size, no inline style."""

import re
from pathlib import Path

import pytest
from crispy_forms.utils import render_crispy_form

from tests.look import page

STATIC = Path(__file__).parents[2] / "coordinator" / "static" / "coordinator"
CSS = (STATIC / "site.css").read_text()
TEXT_ON_GROUND = [
    ("ink", "ground"),
    ("ink", "sheet"),
    ("ink", "break"),
    ("soft", "ground"),
    ("soft", "sheet"),
    ("do", "ground"),
    ("do", "sheet"),
    ("do", "do-ground"),
    ("on-do", "do"),
    ("on-do", "do-over"),
    ("stop", "ground"),
    ("stop", "sheet"),
    ("stop", "stop-ground"),
    ("ink", "stop-ground"),
    ("ink", "watch-ground"),
    ("ink", "do-ground"),
    ("watch", "ground"),
    ("watch", "sheet"),
    ("watch", "watch-ground"),
]


def tokens(*, dark: bool) -> dict[str, str]:
    """Return the colours by name, as the style sheet gives them for one scheme."""
    light_part, dark_part = CSS.split("@media (prefers-color-scheme: dark)")[:2]
    found = dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", light_part))
    if dark:
        found |= dict(re.findall(r"--([a-z-]+): (#[0-9a-f]{6})", dark_part))
    return found


def luminance(colour: str) -> float:
    """Return relative luminance. Source: W3C, WCAG 2.2, 2023, definition of relative luminance."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Return the ratio. Source: W3C, WCAG 2.2, 2023, definition of contrast ratio."""
    low, high = sorted([luminance(one), luminance(other)])
    return (high + 0.05) / (low + 0.05)


def test_contrast_reproduces_the_ratio_of_black_and_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(("text", "ground"), TEXT_ON_GROUND)
def test_text_has_seven_to_one_on_its_ground(text: str, ground: str, dark: bool) -> None:
    colours = tokens(dark=dark)
    assert contrast(colours[text], colours[ground]) >= 7


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize("ground", ["ground", "sheet"])
def test_the_edge_of_a_field_is_seen(ground: str, dark: bool) -> None:
    colours = tokens(dark=dark)
    assert contrast(colours["edge"], colours[ground]) >= 3


@pytest.mark.parametrize("answered", [False, True])
def test_every_class_that_forms_emit_is_styled(answered: bool) -> None:
    html = render_crispy_form(page.every_form(answered=answered), context={"csrf_token": "x"})
    emitted = {name for names in re.findall(r'class="([^"]*)"', html) for name in names.split()}
    unstyled = {name for name in emitted if f".{name}" not in CSS}
    assert emitted
    assert unstyled - {"checkboxinput", "requiredField", "clearablefileinput"} == set()


def test_errors_are_summed_up_with_a_link_to_each_field() -> None:
    html = render_crispy_form(page.every_form(answered=True), context={"csrf_token": "x"})
    top, rest = html.split("</ul>", 1)
    assert "The day is full by now." in top
    for target in re.findall(r'href="#([^"]+)"', top):
        assert f'id="{target}"' in rest
    assert top.count("<li>") == len(page.every_form(answered=True).errors)


def test_a_page_carries_no_inline_style_and_no_inline_script() -> None:
    html = page.render()
    assert "style=" not in html
    assert not re.search(r"<script(?![^>]*\bsrc=)", html)
    assert not re.search(r"\son[a-z]+=", html)
    assert html.count("<h1") == 1
    assert '<main id="content"' in html


def test_the_style_sheet_stays_small() -> None:
    assert len(CSS.splitlines()) <= 400
    assert CSS.count("@media (max-width") == 1
