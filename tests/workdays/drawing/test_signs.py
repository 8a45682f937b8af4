"""Signs are told apart by shape alone."""

import pytest

from tests.look.markup import parsed
from workdays.drawing import signs
from workdays.templatetags.signs import sign, work_sign

EVERY = [(t, s) for t in signs.STONE_WORDS for s in signs.STATE_WORDS]


def test_every_type_in_every_state_has_its_own_strokes() -> None:
    drawn = {signs.stone(t, s).strokes for t, s in EVERY}
    assert len(drawn) == len(EVERY)


def test_every_kind_of_work_has_its_own_strokes() -> None:
    drawn = {signs.work(name).strokes for name in signs.WORK_WORDS}
    assert len(drawn) == len(signs.WORK_WORDS)


@pytest.mark.parametrize("state", list(signs.STATE_WORDS))
def test_a_state_is_told_by_the_kind_of_stroke_and_not_by_colour(state: str) -> None:
    def kinds(one: str) -> set[str]:
        strokes = signs.stone("tablet", one).strokes
        return {s.kind for s in strokes} | {s.d for s in strokes if one == "reset"}

    assert all(kinds(state) != kinds(other) for other in signs.STATE_WORDS if other != state)


@pytest.mark.parametrize(("stone_type", "state"), EVERY)
def test_outlines_and_dots_stay_in_the_box(stone_type: str, state: str) -> None:
    left, top, width, height = signs.BOX
    shape = signs.OUTLINES[stone_type]
    if state == "reset":
        shape = signs.turned(shape, signs.TILT_DEGREES)
    assert all(left <= x <= left + width and top <= y <= top + height + 2 for x, y in shape)


@pytest.mark.parametrize("stone_type", list(signs.STONE_WORDS))
def test_dots_lie_inside_the_stone(stone_type: str) -> None:
    dots = next(s for s in signs.stone(stone_type, "clean").strokes if s.kind == "dots")
    spots = [part.replace("h.01", "").split() for part in dots.d.split("M")[1:]]
    assert len(spots) >= 3
    assert all(signs.inside(float(x), float(y), signs.OUTLINES[stone_type]) for x, y in spots)


def test_the_gravest_state_is_shown() -> None:
    assert signs.gravest({"clean", "reset", "look_again"}) == "reset"
    assert signs.gravest({"sound", "leave_alone", "conservator"}) == "leave_alone"
    assert signs.gravest(set()) == "sound"


def test_unknown_words_are_drawn_as_other_and_not_seen() -> None:
    assert signs.stone("table tomb", "wobbly") == signs.stone("other", "not_seen")
    assert signs.work("painting").strokes


def test_a_sign_with_a_label_is_a_picture_and_one_without_is_hidden() -> None:
    named = parsed(sign("obelisk", "clean", label='"Smith" <stone>'))
    assert named.attrib["role"] == "img"
    assert named.attrib["aria-label"] == '"Smith" <stone>'
    assert parsed(sign("obelisk", "clean", label="auto")).attrib["aria-label"] == ("obelisk, clean")
    hidden = parsed(work_sign("rake"))
    assert hidden.attrib["aria-hidden"] == "true"
    assert "style" not in hidden.attrib


def test_a_sign_is_as_high_as_asked() -> None:
    drawn = parsed(sign("tablet", "sound", size=76))
    assert (drawn.attrib["width"], drawn.attrib["height"]) == ("72", "76")
